import type { Rules } from '../instrument/types.js';
import { MILLISECOND, type Micros } from '../time/micros.js';

/** One fret that is held, or was until a moment ago. */
export interface HeldFret {
  readonly fret: number;
  readonly since: Micros;
  /** Since when it may be lifting; null while it is firm. */
  loose: Micros | null;
  /** The finger has gone: only a pluck that comes right after may still mean this fret. */
  lifted: boolean;
  /** Whether a pluck has sounded it. */
  used: boolean;
}

/**
 * A fret that lets go so soon after it was pressed has bounced: contacts bounce for some
 * milliseconds (three scans of debounce are the habit, Infineon code examples).
 */
const BOUNCES: Micros = 40 * MILLISECOND;

function isFirm({ since, loose, lifted }: HeldFret): boolean {
  return !lifted && (loose === null || loose - since < BOUNCES);
}

function pick(held: readonly HeldFret[], rule: Rules['strings']['stop']): HeldFret | null {
  let stop: HeldFret | null = null;
  for (const one of held) {
    if (
      stop === null ||
      rule === 'latest' ||
      (rule === 'highest' ? one.fret > stop.fret : one.fret < stop.fret)
    ) {
      stop = one;
    }
  }
  return stop;
}

/**
 * The fret that stops a string now, or null for the open string. `held` is in the order of pressing.
 * A fret that may be lifting stops nothing any more: where it only waits for its lift to be certain,
 * the next note must not be its.
 */
export function stopping(
  held: readonly HeldFret[],
  rule: Rules['strings']['stop'],
): HeldFret | null {
  return pick(held.filter(isFirm), rule);
}

/**
 * The fret that stops a string as it is plucked at time `t`: as `stopping`, but a fret that no pluck
 * has sounded yet, and that let go no longer than `early` ago, was meant for this one, unless another
 * was pressed after it.
 */
export function meantBy(
  held: readonly HeldFret[],
  rule: Rules['strings']['stop'],
  t: Micros,
  early: Micros,
): HeldFret | null {
  const firm = held.filter(isFirm);
  const ready = firm.filter(({ used }) => !used);
  const slipped = held.filter(
    (one) =>
      !one.used &&
      !isFirm(one) &&
      t - (one.loose ?? t) <= early &&
      !ready.some(({ since }) => since > one.since),
  );
  if (ready.length > 0) return pick([...firm, ...slipped].sort(byPressing), rule);
  return pick(slipped.length > 0 ? slipped : firm, rule);
}

const byPressing = (a: HeldFret, b: HeldFret): number => a.since - b.since;
