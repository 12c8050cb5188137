const SLOTS = 10;
/** Until so long after the first pair the offset takes every better one at once, in ms. */
const YOUNG = 2_000;
/** Off by less than this, in ms, it stays: what is left of the delays' chance must not move every note. */
const STAYS = 0.1;
/** Off by more than this, in ms, it moves at once: a machine slept, or the way there is another. */
const MOVES_AT_ONCE = 5;
/** Otherwise it moves by so much, ms a ms: more than clocks drift, and not to be heard. */
const SLEW = 300e-6;
/** Quartz clocks drift apart by no more than this, ms a ms (common practice: each within 50 in a million). */
const DRIFT = 100e-6;

/**
 * How far a clock is from another one, by pairs of readings of which each second one was taken late by a delay
 * that nobody knows. The least difference is the one with the least delay (the clock filter of NTP, RFC 5905
 * section 10, picks its sample so for the same reason); it counts for a while only, to follow drift.
 */
export class ClockOffset {
  /** By slot of time, the least difference in it. */
  private readonly least = new Float64Array(SLOTS).fill(Infinity);
  private slot = 0;
  private first = NaN;
  private last = NaN;
  private applied = NaN;

  /** @param counted how long a pair counts, in ms */
  constructor(private readonly counted: number) {}

  /** What to add to the other clock's reading to have this one's, in ms; NaN before the first pair. */
  get offset(): number {
    return this.applied;
  }

  /**
   * @param theirs ms by the other clock
   * @param ours ms by this one, when that was learnt
   */
  add(theirs: number, ours: number): void {
    const slot = Math.floor((ours * SLOTS) / this.counted);
    if (!(ours >= this.last)) this.begin(ours, slot);
    const gap = ours - this.last;
    // After a pause the old offset is a better guess than one pair of an unknown delay.
    if (gap > this.counted) this.least.fill(this.applied + DRIFT * gap);
    else for (let at = this.slot + 1; at <= slot; at++) this.least[at % SLOTS] = Infinity;
    this.slot = slot;
    this.least[slot % SLOTS] = Math.min(this.least[slot % SLOTS]!, ours - theirs);
    this.move(ours - this.first < YOUNG, gap);
    this.last = ours;
  }

  /** Forgets everything: there is another clock on the other side. */
  reset(): void {
    this.first = this.last = this.applied = NaN;
  }

  private begin(ours: number, slot: number): void {
    this.least.fill(Infinity);
    this.first = this.last = ours;
    this.slot = slot;
    this.applied = NaN;
  }

  private move(young: boolean, elapsed: number): void {
    let goal = Infinity;
    for (const one of this.least) if (one < goal) goal = one;
    const by = goal - this.applied;
    if (young || !(Math.abs(by) <= MOVES_AT_ONCE)) this.applied = goal;
    else if (Math.abs(by) > STAYS) {
      this.applied += Math.max(-SLEW * elapsed, Math.min(SLEW * elapsed, by));
    }
  }
}
