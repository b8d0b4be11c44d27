import type { Faults } from './faults.js';
import type { Phone, ThreadLine } from './network.js';

/** What the phones page and the tests ask of a running pretend network, over HTTP. */
export class PretendNetworkClient {
  constructor(
    private readonly url: string,
    private readonly secret: string,
  ) {}

  async phones(): Promise<
    readonly { number: string; isOn: boolean; texts: number; last: ThreadLine | null }[]
  > {
    const { phones } = await this.#ask<{ phones: [] }>('GET', '/phones');
    return phones;
  }

  phone(number: string): Promise<Pick<Phone, 'number' | 'isOn' | 'thread'>> {
    return this.#ask('GET', `/phones/${encodeURIComponent(number)}`);
  }

  /** A family types a text. It reaches toeline by the network's callback. */
  type(number: string, body: string, to?: string): Promise<{ providerId: string; at: string }> {
    return this.#ask('POST', `/phones/${encodeURIComponent(number)}/texts`, {
      body,
      ...(to === undefined ? {} : { to }),
    });
  }

  switchPhone(number: string, isOn: boolean): Promise<unknown> {
    return this.#ask('PUT', `/phones/${encodeURIComponent(number)}`, { isOn });
  }

  /** Replaces all faults; what is left out is off. */
  setFaults(faults: Partial<Faults>): Promise<Faults> {
    return this.#ask('PUT', '/faults', faults);
  }

  /** Moves the network's calendar, ms ahead of the wall. */
  setAhead(aheadMs: number): Promise<unknown> {
    return this.#ask('PUT', '/clock', { aheadMs });
  }

  /** Calls to toeline still open, made and given up. */
  callbacks(): Promise<{ open: number; made: number; givenUp: number }> {
    return this.#ask('GET', '/callbacks');
  }

  async #ask<Out>(method: string, path: string, content?: unknown): Promise<Out> {
    const answer = await fetch(`${this.url}${path}`, {
      method,
      headers: { authorization: `Bearer ${this.secret}`, 'content-type': 'application/json' },
      ...(content === undefined ? {} : { body: JSON.stringify(content) }),
      signal: AbortSignal.timeout(10_000),
    });
    const body = await answer.text();
    if (!answer.ok)
      throw new Error(`The pretend network answered ${answer.status} to ${method} ${path}: ${body}`);
    return JSON.parse(body) as Out;
  }
}
