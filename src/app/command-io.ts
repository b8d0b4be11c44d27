import type { Readable, Writable } from 'node:stream';

/** What a command gets of the outside world, so that tests can hand in their own. */
export interface CommandIo {
  readonly stdin: Readable;
  readonly stdout: Writable;
  readonly stderr: Writable;
}
