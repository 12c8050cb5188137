import type { HolesInstrument } from '../instrument/types.js';
import { NEVER, type Micros } from '../time/micros.js';

/** One hole and its finger. Changed in place by the holes stage. */
export interface Finger {
  closed: boolean;
  /** Since when it has been so; an opening counts from when the finger began to leave. */
  since: Micros;
  /** Since when a finger on it may be leaving; null while that is not so. */
  loose: Micros | null;
}

export function newFinger(): Finger {
  return { closed: false, since: -Infinity, loose: null };
}

/** The same finger once everything has ended: whether it was just leaving will be told. */
export function stayFinger({ closed, since }: Finger): Finger {
  return { closed, since, loose: null };
}

/** @returns whether the fingering may be another one by it */
export function moveFinger(
  finger: Finger,
  what: 'onset' | 'loose' | 'firm' | 'lift',
  t: Micros,
): boolean {
  if (what === 'onset') {
    finger.closed = true;
    finger.since = t;
    finger.loose = null;
    return true;
  }
  if (!finger.closed) return false;
  if (what === 'lift') {
    finger.closed = false;
    finger.since = finger.loose ?? t;
    finger.loose = null;
  } else finger.loose = what === 'loose' ? t : null;
  return true;
}

/** Since when no hole has changed; NEVER while it is not known of one whether it does. */
export function restingSince(fingers: readonly Finger[]): Micros {
  let since = -Infinity;
  for (const finger of fingers) {
    if (finger.loose !== null) return NEVER;
    if (finger.since > since) since = finger.since;
  }
  return since;
}

/** The pitch of the first row of the chart that fits, or null where none does. */
export function noteOf(
  { fingerings }: HolesInstrument,
  fingers: readonly { readonly closed: boolean }[],
): number | null {
  const row = fingerings.find(({ holes }) =>
    holes.every((hole, i) => hole === 'either' || (hole === 'closed') === fingers[i]!.closed),
  );
  return row?.note ?? null;
}
