/** Lets at most so many through at once, and at most so many a second, first come first served. */
export class Window {
  #inside = 0;
  #nextSlot = 0;
  readonly #queue: (() => void)[] = [];

  constructor(
    private readonly atOnce: number,
    private readonly perSecond: number | null,
  ) {}

  async enter(): Promise<void> {
    if (this.#inside >= this.atOnce) await new Promise<void>((resolve) => this.#queue.push(resolve));
    else this.#inside += 1;
    await this.#pace();
  }

  leave(): void {
    const next = this.#queue.shift();
    if (next) next();
    else this.#inside -= 1;
  }

  async #pace(): Promise<void> {
    if (this.perSecond === null) return;
    const now = performance.now();
    const slot = Math.max(now, this.#nextSlot);
    this.#nextSlot = slot + 1_000 / this.perSecond;
    if (slot > now) await new Promise((resolve) => setTimeout(resolve, slot - now));
  }
}
