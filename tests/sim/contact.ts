import { MILLISECOND, type Micros } from '../../src/time/micros.js';
import type { Random } from './random.js';

export type ContactKind = 'pluck' | 'fret' | 'thumb' | 'brush' | 'calibration';

/** A stretch without contact inside of a touch. */
export interface Loss {
  readonly from: Micros;
  readonly to: Micros;
}

/** One finger on one pad, from first contact to last. Times are of the take. */
export interface Contact {
  readonly kind: ContactKind;
  readonly pad: number;
  /** First contact. */
  readonly at: Micros;
  /** When the finger begins to leave; it is gone `leaving` later. */
  readonly until: Micros;
  /** The share of a full touch at which it settles. */
  readonly peak: number;
  readonly landing: Micros;
  readonly leaving: Micros;
  readonly wobble: { readonly hz: number; readonly depth: number };
  readonly losses: readonly Loss[];
}

export const goneAt = ({ until, leaving }: Contact): Micros => until + leaving;

/**
 * How long a pluck takes to reach its peak: 15 ms for the softest down to 4 ms for the hardest, and
 * 12 % more or less from touch to touch. A harder strike is a faster finger and flattens sooner
 * (memory; strike sensors are scanned 1–10 ms for their peak, QUOTED from drum practice).
 */
const SLOWEST = 15 * MILLISECOND;
const FASTEST = 4 * MILLISECOND;
const SOFTEST = 0.3;

export function landingOf(strength: number, random: Random): Micros {
  const hard = Math.min(1, Math.max(0, (strength - SOFTEST) / (1 - SOFTEST)));
  const exact = (SLOWEST + (FASTEST - SLOWEST) * hard) * (1 + 0.12 * random.normal(0, 1, -2, 2));
  return Math.round(Math.min(SLOWEST, Math.max(FASTEST, exact)));
}

/** A finger peels off in 3 to 9 ms. Memory, no source. */
export const leavingOf = (random: Random): Micros => Math.round(random.between(3, 9) * MILLISECOND);

/** A muscle trembles at 2 to 10 Hz; the area follows by some hundredths. Memory, no source. */
export const wobbleOf = (random: Random): Contact['wobble'] => ({
  hz: random.between(2, 10),
  depth: random.between(0.01, 0.05),
});

/** From touch to touch one and the same strength flattens the finger a little more or less. Memory. */
export const PEAK_VARIES = 0.015;

/** While contact is lost and found again, the area goes and comes in about a millisecond. Memory. */
const FLANK: Micros = 1 * MILLISECOND;

/**
 * The touched share of a full touch at time `t`.
 *
 * Landing: a finger that is slowed down evenly is at 2x − x² of its way at the share x of its time;
 * the contact area of a sphere grows as its indentation (Hertz, memory), and the capacitance as the
 * area (C = ε0·εr·A/d, READ), so the reading follows the same curve. Leaving is its mirror.
 */
export function touchedShare(contact: Contact, t: Micros): number {
  const { at, until, landing, leaving, peak, losses } = contact;
  if (t <= at || t >= until + leaving) return 0;
  let share = peak;
  const landed = (t - at) / landing;
  if (landed < 1) share *= landed * (2 - landed);
  else {
    const since = (t - at - landing) / 1_000_000;
    share *= 1 + contact.wobble.depth * Math.sin(2 * Math.PI * contact.wobble.hz * since);
  }
  if (t > until) {
    const left = (until + leaving - t) / leaving;
    share *= left * (2 - left);
  }
  for (const { from, to } of losses) {
    if (t <= from || t >= to) continue;
    const away = Math.min(1, (t - from) / FLANK, (to - t) / FLANK);
    share *= 1 - away;
  }
  return share;
}

/**
 * Lets a touch bounce: contact is lost for 4 to 12 ms, beginning 5 to 15 ms after the first contact,
 * or ending 5 to 15 ms before the finger leaves, or both. That contacts bounce for some milliseconds
 * is why debouncing three scans is the habit (Infineon code examples, READ); these times and that
 * most bounces are at the onset (7 of 10; both 1.5 of 10) are what we set out to meet, and memory.
 */
export function bounced(contact: Contact, share: number, random: Random): Contact {
  const bounces = random.chance(share);
  const where = random.next();
  const [after, lasts, before, lasted] = [
    random.between(5, 15),
    random.between(4, 12),
    random.between(5, 15),
    random.between(4, 12),
  ].map((ms) => Math.round(ms * MILLISECOND)) as [Micros, Micros, Micros, Micros];
  if (!bounces) return contact;
  const losses: Loss[] = [];
  if (where < 0.85) losses.push({ from: contact.at + after, to: contact.at + after + lasts });
  if (where >= 0.7) {
    const to = contact.until - before;
    const from = to - lasted;
    // A tap may be too short to lose contact twice.
    if (from > (losses[0]?.to ?? contact.at + contact.landing)) losses.push({ from, to });
    else if (losses.length === 0) {
      losses.push({ from: contact.at + after, to: contact.at + after + lasts });
    }
  }
  return { ...contact, losses };
}
