/** A binary heap: the least comes out first, each in or out in logarithmic time. */
export class Heap<T> {
  readonly #items: T[] = [];

  /** @param before whether `a` comes out before `b` */
  constructor(readonly before: (a: T, b: T) => boolean) {}

  get size(): number {
    return this.#items.length;
  }

  /** The least; it stays. */
  peek(): T | undefined {
    return this.#items[0];
  }

  push(item: T): void {
    const items = this.#items;
    let at = items.length;
    while (at > 0) {
      const parent = (at - 1) >> 1;
      if (!this.before(item, items[parent]!)) break;
      items[at] = items[parent]!;
      at = parent;
    }
    items[at] = item;
  }

  /** Takes the least out. */
  pop(): T | undefined {
    const items = this.#items;
    const least = items[0];
    const last = items.pop();
    if (items.length === 0 || last === undefined) return least;
    let at = 0;
    for (;;) {
      let child = 2 * at + 1;
      if (child >= items.length) break;
      if (child + 1 < items.length && this.before(items[child + 1]!, items[child]!)) child++;
      if (!this.before(items[child]!, last)) break;
      items[at] = items[child]!;
      at = child;
    }
    items[at] = last;
    return least;
  }

  clear(): void {
    this.#items.length = 0;
  }
}
