import type { Notice } from '../contracts.js';
import type { MidiWire } from '../../instrument/types.js';
import type { WireCounts } from '../../wire/midi-codec.js';

/** A notice at most every so many looks, which come once a second. */
const LOOKS = 5;

/**
 * Puts into words what a wire could not use, at most every few seconds and only what is new.
 *
 * @param where the seat
 * @returns to be called at each look with the totals; gives what a person should know now
 */
export function countNotices(
  where: string,
  wire: MidiWire,
): (counts: WireCounts | undefined) => Notice[] {
  let told = { lost: 0, bad: 0, foreign: 0 };
  let wait = 0;

  return (counts) => {
    if (wait > 0) wait--;
    if (!counts || wait > 0) return [];
    const totals = { lost: counts.lost, bad: badOf(counts), foreign: counts.foreign };
    const lost = totals.lost - told.lost;
    const bad = totals.bad - told.bad;
    const notices: Notice[] = [];
    if (lost > 0) {
      notices.push({
        level: 'warn',
        what: `${some(lost, 'frame')} of raw pad states got lost on the way`,
        where,
        next: 'Use another cable or USB socket, without a hub; if it stays, let the board send fewer frames a second',
      });
    }
    if (bad > 0) {
      notices.push({
        level: 'warn',
        what: `${some(bad, 'message')} from the board came damaged and had to be dropped`,
        where,
        next: 'Check the cable, and that the board sends what the room file says under "as:"',
      });
    }
    if (totals.foreign > 0 && told.foreign === 0) {
      notices.push({
        level: 'warn',
        what: `this port also sends messages that carry no pad states as "${wire}"`,
        where,
        next: 'If pads do not answer, check "as:" in the room file: notes, pressure, control, control-14 or frames',
      });
    }
    if (notices.length > 0) wait = LOOKS;
    told = totals;
    return notices;
  };
}

function badOf(counts: WireCounts): number {
  return (
    counts.stray +
    counts.undefined +
    counts.broken +
    counts.oversized +
    counts.orphans +
    counts.checksum +
    counts.version +
    counts.length
  );
}

function some(count: number, what: string): string {
  return `${String(count)} ${what}${count === 1 ? '' : 's'}`;
}
