import type { Window } from '../../../../compare/run.js';
import { MILLISECOND, SECOND, type Micros } from '../../../../time/micros.js';

/** No less than this is shown: a few scans. */
export const CLOSEST: Micros = 20 * MILLISECOND;
/** What is beyond the end is shown at least so far. */
const BEYOND: Micros = SECOND / 2;

/** Up to where there is something to see. */
export const endOf = (length: Micros): Micros => Math.max(length + BEYOND, 2 * CLOSEST);

/** The nearest part that lies within the take, of the same length where that is possible. */
export function within({ from, to }: Window, length: Micros): Window {
  const end = endOf(length);
  const long = Math.min(end, Math.max(CLOSEST, to - from));
  const begin = Math.min(end - long, Math.max(0, from));
  return { from: begin, to: begin + long };
}

/**
 * Closer by a factor, or farther where it is under 1.
 *
 * @param around stays where it is
 */
export function zoomed(
  { from, to }: Window,
  factor: number,
  around: Micros,
  length: Micros,
): Window {
  const long = Math.min(endOf(length), Math.max(CLOSEST, (to - from) / factor));
  const share = (around - from) / (to - from);
  const begin = around - share * long;
  return within({ from: begin, to: begin + long }, length);
}

/** Later by a share of what is shown; under 0 is earlier. */
export function moved({ from, to }: Window, share: number, length: Micros): Window {
  const by = share * (to - from);
  return within({ from: from + by, to: to + by }, length);
}

/** Moved no farther than needed so that a time is well inside. */
export function showing(span: Window, t: Micros, length: Micros): Window {
  const { from, to } = span;
  const edge = 0.05 * (to - from);
  if (t >= from + edge && t <= to - edge) return span;
  const by = t < from + edge ? t - from - edge : t - to + edge;
  return within({ from: from + by, to: to + by }, length);
}

/** A time at three tenths of what is shown. */
export function broughtTo({ from, to }: Window, t: Micros, length: Micros): Window {
  const begin = t - 0.3 * (to - from);
  return within({ from: begin, to: begin + to - from }, length);
}

const TENS = [0.001, 0.01, 0.1, 1];
const WIDE = [...TENS.flatMap((ten) => [ten, 2 * ten, 5 * ten]), 10, 30, 60, 120, 300, 600];

/** How many seconds lie between two marks of the ruler, so that their words have room. */
export function tickSeconds({ from, to }: Window, width: number, room: number): number {
  const perSecond = (width * SECOND) / (to - from);
  return WIDE.find((one) => one * perSecond >= room) ?? 3600;
}
