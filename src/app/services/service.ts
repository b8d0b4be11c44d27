/** Told, in one line each, of what takes long. */
export type Say = (line: string) => void;

/** A running server and how to end it. */
export interface Service {
  readonly url: string;
  stop(): Promise<void>;
}
