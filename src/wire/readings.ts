import type { Micros } from '../time/micros.js';
import type { Scan } from './scan.js';

/**
 * Adds one reading to the last of a packet's scans, or to a new one where that has the input already:
 * two readings of one input in one packet are a touch and its lift, and both must be seen.
 *
 * @param t when the packet came, the time of all its scans
 */
export function addReading(scans: Scan[], t: Micros, input: number, raw: number): void {
  const last = scans[scans.length - 1];
  if (last && !last.inputs.includes(input)) {
    (last.inputs as number[]).push(input);
    (last.raws as number[]).push(raw);
  } else {
    scans.push({ type: 'scan', t, inputs: [input], raws: [raw] });
  }
}

/**
 * Calls `take` with each reading of a scan that is about to be encoded.
 *
 * @throws RangeError for an input or raw value that the wire cannot carry
 */
export function eachReading<Result>(
  scan: Scan,
  inputs: number,
  full: number,
  take: (input: number, raw: number) => Result,
): Result[] {
  return scan.inputs.map((input, i) => {
    const raw = scan.raws[i];
    requireWithin('input', input, inputs - 1);
    requireWithin('raw value', raw, full);
    return take(input, raw);
  });
}

/** @throws RangeError unless `value` is an integer from 0 to `most` */
export function requireWithin(
  what: string,
  value: number | undefined,
  most: number,
): asserts value is number {
  if (value !== undefined && Number.isInteger(value) && value >= 0 && value <= most) return;
  throw new RangeError(
    `${what} ${String(value)} cannot be sent: it must be an integer from 0 to ${String(most)}`,
  );
}
