/** The part of npm `smpp` 0.5.1 that is used; the package ships no types. */
declare module 'smpp' {
  import type { EventEmitter } from 'node:events';
  import type { Server as NetServer, Socket } from 'node:net';

  export interface Pdu {
    command: string;
    command_id: number;
    command_status: number;
    sequence_number: number;
    readonly [field: string]: unknown;
    isResponse(): boolean;
    response(options?: Readonly<Record<string, unknown>>): Pdu;
  }
  type Answered = (pdu: Pdu) => void;
  type Send = (options: Readonly<Record<string, unknown>>, answered?: Answered) => boolean;

  export class Session extends EventEmitter {
    socket: Socket;
    send(pdu: Pdu, answered?: Answered, written?: Answered): boolean;
    close(closed?: () => void): void;
    destroy(closed?: () => void): void;
    pause(): void;
    resume(): void;
    bind_transceiver: Send;
    bind_transmitter: Send;
    submit_sm: Send;
    deliver_sm: Send;
    unbind: Send;
    enquire_link: Send;
  }
  interface Field {
    filter?: unknown;
  }
  interface Smpp {
    connect(options: { host: string; port: number; tls?: boolean; rejectUnauthorized?: boolean }): Session;
    createServer(listener: (session: Session) => void): NetServer;
    readonly commands: Readonly<Record<string, { params: Record<string, Field> }>>;
    readonly tlvs: Readonly<Record<string, Field>>;
  }
  const smpp: Smpp;
  export default smpp;
}
