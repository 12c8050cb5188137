import { SECOND, type Micros } from '../time/micros.js';

/** What became of the packets of one stream. */
export interface LossCounts {
  /** Numbers that were passed over, and have not come since. */
  lost: number;
  /** Packets that came after one that was sent later. */
  reordered: number;
  /** Packets that came again. */
  repeated: number;
}

/** Follows the running numbers of one stream; see `HandPacket`. */
export interface LossCounter {
  /** Counts one more packet; false where it came before. */
  arrive(number: number, t: Micros): boolean;
  /** How many are missed by now for good, and were not told by an earlier call. */
  missed(t: Micros): number;
}

/** So late is nobody but lost. */
const GONE: Micros = 2 * SECOND;
/** A larger gap is a stream that broke off; its numbers are not kept. */
const MOST_KEPT = 4_096;
/** Packets before the first that came are late ones, not repeated ones. */
const BEFORE_FIRST = 64;

/** @param counts where it counts; several streams may share them */
export function lossCounter(counts: LossCounts): LossCounter {
  let top: number | null = null;
  /** When each number was first missed. */
  const missing = new Map<number, Micros>();
  /** Numbers before the first: they need not come, but may, once. */
  const early = new Set<number>();
  let gone = 0;

  function skip(from: number, to: number, t: Micros): void {
    counts.lost += to - from;
    if (to - from > MOST_KEPT) gone += to - from;
    else for (let number = from; number < to; number++) missing.set(number, t);
  }

  return {
    arrive(number, t) {
      if (top === null) {
        for (let n = Math.max(0, number - BEFORE_FIRST); n < number; n++) early.add(n);
        top = number;
        return true;
      }
      if (number > top) {
        skip(top + 1, number, t);
        top = number;
        return true;
      }
      if (missing.delete(number)) counts.lost -= 1;
      else if (!early.delete(number)) {
        counts.repeated += 1;
        return false;
      }
      counts.reordered += 1;
      return true;
    },
    missed(t) {
      for (const [number, since] of missing) {
        if (since + GONE > t) break;
        missing.delete(number);
        gone += 1;
      }
      const told = gone;
      gone = 0;
      return told;
    },
  };
}
