import type { Micros } from '../time/micros.js';
import { MILLISECOND, SECOND } from '../time/micros.js';
import type { Scan } from '../wire/scan.js';
import type { Timing } from './types.js';
import { median, quantile } from '../pads/series.js';

/** Readings that belong to one scan arrive within this time, however many messages carry them. */
const ONE_SCAN: Micros = 20 * MILLISECOND;

/**
 * Puts together what a board read in one round. Some wires carry a scan in several messages, or one
 * message a pad: a new round begins where an input comes again.
 */
export function wholeScans(scans: readonly Scan[]): Scan[] {
  const whole: Scan[] = [];
  let t = -Infinity;
  let inputs: number[] = [];
  let raws: number[] = [];
  const seen = new Set<number>();
  const close = (): void => {
    if (inputs.length > 0) whole.push({ type: 'scan', t, inputs, raws });
    inputs = [];
    raws = [];
    seen.clear();
  };
  for (const scan of scans) {
    if (scan.inputs.length === 0) continue;
    if (scan.t - t > ONE_SCAN || scan.inputs.some((input) => seen.has(input))) {
      close();
      t = scan.t;
    }
    scan.inputs.forEach((input, i) => {
      seen.add(input);
      inputs.push(input);
      raws.push(scan.raws[i]!);
    });
  }
  close();
  return whole;
}

/** A board that says nothing for so long has paused: that is no part of its rate. */
const PAUSE: Micros = SECOND;
/** An interval is a gap from this many usual ones on. */
const GAP = 1.5;
/** A gap that is followed by an interval under this share was a late scan, not a lost one. */
const CATCHES_UP = 0.5;

/**
 * How whole scans came. The usual interval is the time by the count, not a middle one: where a host
 * looks late now and then, most intervals are longer than the board's own, or shorter.
 *
 * @param numbered whether the wire numbers its messages: only then is a gap known to be a lost scan
 */
export function timingOf(scans: readonly Scan[], numbered: boolean): Timing {
  const steps = scans.slice(1).map(({ t }, i) => t - scans[i]!.t);
  const length = scans.length > 0 ? scans.at(-1)!.t - scans[0]!.t : 0;
  const none = { scans: scans.length, length, paused: 0, late: 0, gaps: 0, longest: 0 };
  const lostNone = numbered ? 0 : null;
  if (steps.length < 2 || onlyChanges(scans)) {
    return { ...none, interval: null, jitter: null, lost: lostNone };
  }
  const going = steps.filter((step) => step < PAUSE);
  const paused = steps.filter((step) => step >= PAUSE).reduce((sum, step) => sum + step, 0);
  if (going.length === 0) return { ...none, paused, interval: null, jitter: null, lost: lostNone };
  let missing = 0;
  let { late, gaps, longest } = none;
  // By the board's own times a gap is a lost scan, and what was lost took its part of the time.
  const usual = numbered ? median(going) : (length - paused) / going.length;
  steps.forEach((step, i) => {
    if (step >= PAUSE || step <= GAP * usual) return;
    const catchesUp = (steps[i + 1] ?? Infinity) < CATCHES_UP * usual;
    if (catchesUp) {
      late += 1;
      return;
    }
    if (numbered) missing += Math.round(step / usual) - 1;
    else late += 1;
    gaps += 1;
    longest = Math.max(longest, step);
  });
  const interval = (length - paused) / (going.length + missing);
  const jitter = quantile(
    going.map((step) => Math.abs(step - interval)),
    0.9,
  );
  const lost = numbered ? missing : null;
  return { ...none, interval, jitter, paused, late, lost, gaps, longest };
}

/** A wire that tells only changes sends few inputs at a time, and when it likes. */
function onlyChanges(scans: readonly Scan[]): boolean {
  const inputs = new Set(scans.flatMap((scan) => scan.inputs)).size;
  const mean = scans.reduce((sum, scan) => sum + scan.inputs.length, 0) / scans.length;
  const steps = scans.slice(1).map(({ t }, i) => t - scans[i]!.t);
  return mean < 0.5 * inputs && quantile(steps, 0.9) > 3 * quantile(steps, 0.1);
}

/** A board that tells only changes is taken to have looked this often. */
export const LOOKED_EVERY: Micros = 4 * MILLISECOND;
/** Seven-bit wires often tell only changes: a pad that was never heard of rests at 0 there. */
const SPARSE_FULL = 127;

/**
 * Puts scans without a change between those of a wire that tells only changes, so that a touch lasts
 * as long as it did. Scans of other wires stay as they are.
 *
 * @param full the raw value of full scale
 */
export function steadyScans(scans: readonly Scan[], full: number): readonly Scan[] {
  if (scans.length < 3 || !onlyChanges(scans)) return scans;
  const steady: Scan[] = [];
  if (full <= SPARSE_FULL) {
    const late = [...new Set(scans.flatMap((scan) => scan.inputs))].filter(
      (input) => !scans[0]!.inputs.includes(input),
    );
    steady.push({ type: 'scan', t: scans[0]!.t, inputs: late, raws: late.map(() => 0) });
  }
  scans.forEach((scan, i) => {
    steady.push(scan);
    const next = scans[i + 1]?.t ?? -Infinity;
    for (let t = scan.t + LOOKED_EVERY; t < next; t += LOOKED_EVERY) {
      steady.push({ type: 'scan', t, inputs: [], raws: [] });
    }
  });
  return steady;
}
