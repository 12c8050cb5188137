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
/** So far before the first that came, a packet is a late one, not a repeated one. */
const BEFORE_FIRST = 64;

/** @param counts where it counts; several streams may share them */
export function lossCounter(counts: LossCounts): LossCounter {
  let top: number | null = null;
  let bottom = 0;
  /** When each number was first missed. */
  const missing = new Map<number, Micros>();
  let gone = 0;

  function skip(from: number, to: number, t: Micros): void {
    counts.lost += to - from;
    if (to - from > MOST_KEPT) gone += to - from;
    else for (let number = from; number < to; number++) missing.set(number, t);
  }

  /** A packet that was sent before the first that came. */
  function before(number: number, first: number, t: Micros): boolean {
    if (number >= first || number < first - BEFORE_FIRST) return false;
    skip(number + 1, first, t);
    bottom = number;
    return true;
  }

  return {
    arrive(number, t) {
      if (top === null) {
        top = number;
        bottom = number;
        return true;
      }
      if (number > top) {
        skip(top + 1, number, t);
        top = number;
        return true;
      }
      if (missing.delete(number)) counts.lost -= 1;
      else if (!before(number, bottom, t)) {
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
