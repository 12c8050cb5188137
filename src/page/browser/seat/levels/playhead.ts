/** Rows come in batches; shown this much later, each is there when its moment is drawn. In µs. */
const BEHIND = 120_000;
/** How fast a delay that was once shorter is forgotten, in µs a ms: clocks drift apart by less. */
const FORGET = 0.5;
/** A jump that is larger than this is another clock, not jitter. In µs. */
const JUMP = 1_000_000;

/**
 * Which moment of the service's clock is drawn now: it goes on evenly between batches, though these
 * come unevenly.
 */
export class Playhead {
  /** The service's clock minus the page's, by what came with the least delay lately. In µs. */
  private ahead: number | null = null;
  private heardAt = 0;

  /**
   * Something of the service's time `t` (µs) came in.
   *
   * @param now the page's clock, in ms
   */
  heard(t: number, now: number): void {
    const ahead = t - now * 1000;
    const before = this.ahead;
    if (before === null || Math.abs(ahead - before) > JUMP) this.ahead = ahead;
    else this.ahead = Math.max(ahead, before - FORGET * (now - this.heardAt));
    this.heardAt = now;
  }

  /** In µs by the service's clock; null: nothing was heard yet. */
  at(now: number): number | null {
    return this.ahead === null ? null : now * 1000 + this.ahead - BEHIND;
  }
}
