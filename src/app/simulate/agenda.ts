/** What will happen and when, in order of time; what is put in at the same instant keeps its order. */
export class Agenda {
  readonly #heap: { readonly at: number; readonly order: number; readonly happens: (now: number) => void }[] =
    [];
  #order = 0;
  /** What to do when a matter is settled. */
  readonly onClose = new Map<object, () => void>();

  add(at: number, happens: (now: number) => void): void {
    this.#order += 1;
    const heap = this.#heap;
    heap.push({ at, order: this.#order, happens });
    for (let child = heap.length - 1; child > 0; ) {
      const parent = (child - 1) >> 1;
      if (!this.#isBefore(child, parent)) break;
      this.#swap(child, parent);
      child = parent;
    }
  }

  /** Lets everything before an instant (ms) happen. */
  runUntil(end: number): void {
    for (let first = this.#heap[0]; first && first.at < end; first = this.#heap[0]) {
      this.#removeFirst();
      first.happens(first.at);
    }
  }

  #removeFirst(): void {
    const heap = this.#heap;
    this.#swap(0, heap.length - 1);
    heap.pop();
    for (let parent = 0; ; ) {
      const [left, right] = [2 * parent + 1, 2 * parent + 2];
      let least = parent;
      if (left < heap.length && this.#isBefore(left, least)) least = left;
      if (right < heap.length && this.#isBefore(right, least)) least = right;
      if (least === parent) return;
      this.#swap(least, parent);
      parent = least;
    }
  }

  #isBefore(a: number, b: number): boolean {
    const [one, other] = [this.#heap[a], this.#heap[b]];
    if (!one || !other) return false;
    return one.at < other.at || (one.at === other.at && one.order < other.order);
  }

  #swap(a: number, b: number): void {
    const [one, other] = [this.#heap[a], this.#heap[b]];
    if (!one || !other) return;
    this.#heap[a] = other;
    this.#heap[b] = one;
  }
}
