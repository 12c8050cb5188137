import { MILLISECOND, type Micros } from '../time/micros.js';

/** What a person has done to a pad and the finger has not done yet. `peak` 0: leaves it. */
interface Wish {
  readonly t: Micros;
  readonly peak: number;
}

/** One finger over one pad. Changed in place. */
export interface Finger {
  /** From which touched share to which, since when, and in how long. Shares are of a full touch. */
  from: number;
  to: number;
  at: Micros;
  lasts: Micros;
  /** Until then it goes on doing what it does. */
  until: Micros;
  readonly wishes: Wish[];
}

export function newFinger(): Finger {
  return { from: 0, to: 0, at: 0, lasts: 1, until: -Infinity, wishes: [] };
}

/** The softest press still is a touch, and the hardest flattens a finger more than a usual full one. */
const SOFTEST = 0.3;
const HARDEST = 1.25;

/**
 * A finger flattens on a pad in 15 ms for the softest touch down to 4 ms for the hardest (strike
 * sensors are scanned 1–10 ms for their peak, quoted from drum practice), and peels off in some 6 ms.
 * Memory, no source.
 */
const SLOWEST: Micros = 15 * MILLISECOND;
const FASTEST: Micros = 4 * MILLISECOND;
const LEAVING: Micros = 6 * MILLISECOND;

/**
 * No finger is quicker on and off (memory); a click that is over at once must not be lost between two
 * scans.
 */
const SHORTEST_ON: Micros = 30 * MILLISECOND;
const SHORTEST_OFF: Micros = 40 * MILLISECOND;

/** A hand does not remember more presses than these; of more, the oldest are forgotten. */
const MOST_WISHES = 4;

/** A muscle trembles at 2 to 10 Hz; the touched area follows by some hundredths. Memory, no source. */
const TREMBLE_HZ = 5;
const TREMBLE = 0.015;

/**
 * Lays a finger down, or has it press otherwise where it lies.
 *
 * @param strength 0 to 1
 */
export function press(finger: Finger, t: Micros, strength: number): void {
  const firm = Math.min(1, Math.max(0, strength));
  wish(finger, { t, peak: SOFTEST + (HARDEST - SOFTEST) * firm });
}

export function release(finger: Finger, t: Micros): void {
  wish(finger, { t, peak: 0 });
}

function wish({ wishes, to }: Finger, next: Wish): void {
  const last = wishes.at(-1)?.peak ?? to;
  if (next.peak === 0 && last === 0) return;
  // A finger that is to come down yet comes down as was said last.
  if (next.peak > 0 && last > 0 && wishes.length > 0) wishes.pop();
  wishes.push(next);
  if (wishes.length > MOST_WISHES) wishes.splice(0, 2);
}

/** The touched share of a full touch at time `t`, which never falls from call to call. */
export function shareAt(finger: Finger, t: Micros): number {
  for (;;) {
    const [next] = finger.wishes;
    if (next === undefined) break;
    const changes = next.peak > 0 !== finger.to > 0;
    const at = changes ? Math.max(next.t, finger.until) : next.t;
    if (at > t) break;
    finger.wishes.shift();
    move(finger, next.peak, at, changes);
  }
  return touched(finger, t);
}

function move(finger: Finger, peak: number, at: Micros, changes: boolean): void {
  finger.from = touched(finger, at);
  finger.to = peak;
  finger.at = at;
  finger.lasts = peak === 0 ? LEAVING : landing(peak);
  if (changes) finger.until = at + (peak === 0 ? SHORTEST_OFF : SHORTEST_ON);
}

function landing(peak: number): Micros {
  const firm = (peak - SOFTEST) / (HARDEST - SOFTEST);
  return Math.round(SLOWEST + (FASTEST - SLOWEST) * firm);
}

/**
 * A finger that is slowed down evenly is at 2x − x² of its way at the share x of its time; the area
 * of contact grows as its indentation (Hertz, memory), and the capacitance as the area. It leaves the
 * other way round.
 */
function touched({ from, to, at, lasts }: Finger, t: Micros): number {
  const x = Math.max(0, (t - at) / lasts);
  if (x < 1) return from + (to - from) * (to > 0 ? x * (2 - x) : x * x);
  if (to === 0) return 0;
  const since = (t - at - lasts) / 1_000_000;
  return to * (1 + TREMBLE * Math.sin(2 * Math.PI * TREMBLE_HZ * since));
}
