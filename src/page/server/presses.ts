/** Which pages hold which pads of which seats (by their ids): a pad is let go of once the last of them has. */
export class Presses<Page> {
  readonly #holders = new Map<string, { seat: number; pad: number; pages: Set<Page> }>();

  press(page: Page, seat: number, pad: number): void {
    const key = keyOf(seat, pad);
    const held = this.#holders.get(key) ?? { seat, pad, pages: new Set() };
    held.pages.add(page);
    this.#holders.set(key, held);
  }

  /** Returns whether nobody holds the pad any more, and this page did. */
  release(page: Page, seat: number, pad: number): boolean {
    const key = keyOf(seat, pad);
    const held = this.#holders.get(key);
    if (held?.pages.delete(page) !== true || held.pages.size > 0) return false;
    this.#holders.delete(key);
    return true;
  }

  /** The seat has left: nobody holds any of its pads any more. */
  forget(seat: number): void {
    for (const [key, held] of this.#holders) if (held.seat === seat) this.#holders.delete(key);
  }

  /** The page is gone; returns the pads that nobody holds any more. */
  leave(page: Page): { readonly seat: number; readonly pad: number }[] {
    return [...this.#holders.values()].filter(({ seat, pad }) => this.release(page, seat, pad));
  }
}

const keyOf = (seat: number, pad: number): string => `${String(seat)} ${String(pad)}`;
