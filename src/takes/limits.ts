import type { WireEvent } from '../wire/scan.js';

/*
 * What of a take is held in memory where all of it is needed at once. Everything else is read, run and
 * written piece by piece, and a take may then be as long as the disk.
 */

/** Raw values of one seat: more than an hour of 20 pads at 250 scans a second, some 300 MB. */
export const MOST_READINGS = 20_000_000;
/** Notes of a run: two days of five notes a second. */
export const MOST_NOTES = 1_000_000;

/** Thrown where more of a take is needed at once than is held in memory. */
export class TakeTooLong extends Error {
  override readonly name = 'TakeTooLong';
}

/** Counts the readings that are held. */
export class ReadingLimit {
  private count = 0;

  /** @param what needs them, in words: "fitting rules" */
  constructor(private readonly what: string) {}

  /** @throws TakeTooLong */
  hold(event: WireEvent): void {
    if (event.type !== 'scan') return;
    // A scan of nothing takes memory too.
    this.count += event.inputs.length + 1;
    if (this.count <= MOST_READINGS) return;
    throw new TakeTooLong(
      `the take is too long for ${this.what}, which needs all readings of the seat in memory, at most ` +
        `${millions(MOST_READINGS)} (about an hour of 20 pads at 250 scans a second); use a shorter take`,
    );
  }
}

/** @throws TakeTooLong where a run gives more notes than can be worked on together */
export function limitNotes(count: number): void {
  if (count <= MOST_NOTES) return;
  throw new TakeTooLong(
    `the take gives more than ${millions(MOST_NOTES)} notes, which is more than can be held in memory at ` +
      'once; use a shorter take, or one of its seats',
  );
}

const millions = (count: number): string => `${String(count / 1e6)} million`;
