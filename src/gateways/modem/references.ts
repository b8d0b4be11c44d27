import { readFileSync, renameSync, writeFileSync } from 'node:fs';
import { z } from 'zod';

const KEPT = z.array(z.tuple([z.number(), z.string(), z.string(), z.number()]));
const THREE_DAYS_MS = 3 * 24 * 3_600_000;

/**
 * A modem numbers what it sends from 0 to 255 and starts again; its reports give only that number and the phone. This
 * remembers which of our ids each stood for last, for three days, in a file if there is one.
 */
export class References {
  readonly #ids = new Map<string, { readonly id: string; readonly at: number }>();

  constructor(
    private readonly file: string | undefined,
    private readonly now: () => number,
    private readonly note: (words: string) => void,
  ) {
    if (file !== undefined) this.#load(file);
  }

  /** An id for a part just sent: unique over time, unlike the reference itself. */
  remember(reference: number, to: string): string {
    const at = this.now();
    const id = `modem-${at.toString(36)}-${reference}`;
    this.#ids.set(key(reference, to), { id, at });
    this.#save();
    return id;
  }

  /** The id of the text this report speaks of; undefined when nobody remembers. */
  find(reference: number, to: string): string | undefined {
    const known = this.#ids.get(key(reference, to));
    return known && this.now() - known.at <= THREE_DAYS_MS ? known.id : undefined;
  }

  #load(file: string): void {
    try {
      for (const [reference, to, id, at] of KEPT.parse(JSON.parse(readFileSync(file, 'utf8')))) {
        this.#ids.set(key(reference, to), { id, at });
      }
    } catch (error) {
      const isNew = error instanceof Error && 'code' in error && error.code === 'ENOENT';
      if (!isNew) this.note(`The modem's references in ${file} cannot be read; starting afresh.`);
    }
  }

  #save(): void {
    if (this.file === undefined) return;
    const recent = [...this.#ids].filter(([, { at }]) => this.now() - at <= THREE_DAYS_MS);
    const rows = recent.map(([where, { id, at }]) => {
      const [reference = '', to = ''] = where.split(' ');
      return [Number(reference), to, id, at];
    });
    try {
      writeFileSync(`${this.file}.new`, JSON.stringify(rows));
      renameSync(`${this.file}.new`, this.file);
    } catch {
      this.note(
        `The modem's references cannot be written to ${this.file}; receipts after a restart will be orphans.`,
      );
    }
  }
}

/** Networks give the phone with or without its country, so the last eight digits must do. */
function key(reference: number, to: string): string {
  return `${reference} ${to.replace(/\D/g, '').slice(-8)}`;
}
