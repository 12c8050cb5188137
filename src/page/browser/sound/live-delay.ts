/** The least delay against the network's jitter, in ms, and the most that is still music. */
export const LEAST_DELAY = 30;
export const MOST_DELAY = 300;
/** What is kept beyond the worst that was seen, in ms: the way from the page to its renderer. */
const SPARE = 8;
/** How fast it comes back down once all is well: a time constant in ms. */
const RECOVERY = 20_000;

/**
 * How long live voices are held back so that those that come late still keep their time: 30 ms where the
 * network is steady, at once as much as a late one needed, slowly less again.
 */
export class LiveDelay {
  private worst = 0;
  private last = NaN;

  /** In ms. */
  get now(): number {
    return Math.min(MOST_DELAY, Math.max(LEAST_DELAY, this.worst + SPARE));
  }

  /**
   * @param lateness ms from when something should have come at the soonest until it came
   * @param at ms, when
   */
  add(lateness: number, at: number): void {
    if (at > this.last) this.worst *= Math.exp((this.last - at) / RECOVERY);
    this.last = at;
    if (lateness > this.worst) this.worst = Math.min(lateness, MOST_DELAY);
  }

  /** Something came too late to its frame nevertheless, by so many ms. */
  missed(by: number): void {
    this.worst = Math.min(MOST_DELAY, this.now - SPARE + by);
  }
}
