/** What was wrong with a form, as the key of a sentence and what goes into it. */
export interface Fault {
  readonly key: string;
  readonly values?: Readonly<Record<string, string>>;
}
