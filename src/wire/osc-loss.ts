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

/** Numbers that are missed: from, up to and without to, since a time. */
interface Gap {
  from: number;
  to: number;
  readonly since: Micros;
}

/** So late is nobody but lost. */
const GONE: Micros = 2 * SECOND;
/** A larger gap is a stream that broke off; its numbers are not kept. */
const MOST_KEPT = 4_096;
/** So far before the first that came, a packet is a late one, not a repeated one. */
const BEFORE_FIRST = 64;
/**
 * So many gaps are kept, however long each is; of more, the lowest count as lost for good. At a thousand
 * packets a second that are lost every other time, it is half a second's: far longer than packets turn round.
 */
export const MOST_GAPS = 256;

/** @param counts where it counts; several streams may share them */
export function lossCounter(counts: LossCounts): LossCounter {
  let top: number | null = null;
  let bottom = 0;
  /** In the order of their numbers. */
  const gaps: Gap[] = [];
  let gone = 0;

  function skip(from: number, to: number, t: Micros): void {
    if (to <= from) return;
    counts.lost += to - from;
    if (to - from > MOST_KEPT) {
      gone += to - from;
      return;
    }
    const gap = { from, to, since: t };
    if (from < (gaps[0]?.from ?? from)) gaps.unshift(gap);
    else gaps.push(gap);
    forget();
  }

  function forget(): void {
    while (gaps.length > MOST_GAPS) {
      const { from, to } = gaps.shift()!;
      gone += to - from;
    }
  }

  /** Takes a number out of the gap that it lies in; false where it lies in none. */
  function fill(number: number): boolean {
    const index = gaps.findLastIndex(({ from }) => from <= number);
    const gap = gaps[index];
    if (!gap || number >= gap.to) return false;
    const { from, to, since } = gap;
    const rest = [
      { from, to: number, since },
      { from: number + 1, to, since },
    ].filter((part) => part.to > part.from);
    gaps.splice(index, 1, ...rest);
    forget();
    return true;
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
      if (fill(number)) counts.lost -= 1;
      else if (!before(number, bottom, t)) {
        counts.repeated += 1;
        return false;
      }
      counts.reordered += 1;
      return true;
    },
    missed(t) {
      for (let i = gaps.length - 1; i >= 0; i--) {
        const { from, to, since } = gaps[i]!;
        if (since + GONE > t) continue;
        gaps.splice(i, 1);
        gone += to - from;
      }
      const told = gone;
      gone = 0;
      return told;
    },
  };
}
