import { formatDuration, SECOND, type Micros } from '../../time/micros.js';
import type { LossCounts } from '../../wire/osc-loss.js';
import type { Tell } from '../contracts.js';
import { repeats } from '../repeats.js';

/** What became of what other computers handed on, since the source began. */
export interface HandCounts extends LossCounts {
  /** Packets that came later than they are held, and were played at once. */
  late: number;
}

export interface HandFaults {
  readonly counts: HandCounts;
  /** `count` packets of a seat are missed for good. */
  lost(t: Micros, from: string, seat: string, count: number): void;
  late(t: Micros, from: string, by: Micros, delay: Micros): void;
  /** `count` packets of a seat were dropped, since more came than can be held. */
  crowded(t: Micros, from: string, seat: string, count: number): void;
  /** A computer that handed a seat on has fallen silent. */
  silent(from: string, seats: readonly string[]): void;
  /** It is heard, for the first time or again. */
  heard(from: string, seat: string): void;
  /** It has ended in good order. */
  ended(from: string, seat: string): void;
  /** Two computers hand on the same seat. */
  twice(t: Micros, seat: string, heard: string, ignored: string): void;
  /** What comes is not what the seat's "from" says. */
  other(t: Micros, seat: string, expected: 'pads' | 'notes'): void;
}

/** The same kind of trouble is told again this long after at the earliest. */
const PAUSE: Micros = 5 * SECOND;

/** Counts what is wrong with what is handed on, and tells of it without flooding. */
export function handFaults(where: string, tell: Tell): HandFaults {
  const counts: HandCounts = { lost: 0, reordered: 0, repeated: 0, late: 0 };
  const due = repeats(PAUSE);

  const were = (count: number): string =>
    count === 1 ? 'A packet was' : `${String(count)} packets were`;

  return {
    counts,
    lost(t, from, seat, count) {
      const all = due('lost', t, count);
      if (all === 0) return;
      tell({
        level: 'warn',
        what: `${were(all)} lost on the way from ${from}, the last of seat ${seat}`,
        where,
        next: 'Join the two computers by a cable, or give them a network of their own',
      });
    },
    late(t, from, by, delay) {
      counts.late += 1;
      const all = due('late', t, 1);
      if (all === 0) return;
      const late = (by / 1_000).toFixed(1);
      tell({
        level: 'warn',
        what: `${were(all)} late from ${from}, the last by ${late} ms, and played at once`,
        where,
        next: `Write a longer delay beside "osc:" where this goes on; now it is ${formatDuration(delay)}`,
      });
    },
    crowded(t, from, seat, count) {
      const all = due('crowded', t, count);
      if (all === 0) return;
      tell({
        level: 'warn',
        what: `${were(all)} dropped, since more came from ${from} than can be held, and the notes of seat ${seat} were ended`,
        where,
        next: `Check what sends at ${from}: its times or its pace are wrong`,
      });
    },
    silent(from, seats) {
      tell({
        level: 'warn',
        what: `Nothing comes from ${from} any more, so the notes of ${seats.join(', ')} were ended`,
        where,
        next: 'Check the other computer and the network; it is heard again by itself',
      });
    },
    heard(from, seat) {
      tell({ level: 'info', what: `Seat ${seat} is handed on by ${from}`, where });
    },
    ended(from, seat) {
      tell({ level: 'info', what: `Seat ${seat} is no longer handed on by ${from}`, where });
    },
    twice(t, seat, heard, ignored) {
      if (due(`twice ${seat}`, t, 1) === 0) return;
      tell({
        level: 'warn',
        what: `Seat ${seat} is handed on by two computers; ${heard} is heard, and ${ignored} is not`,
        where,
        next: 'Give the seat another name on one of them, or end pluckwork there',
      });
    },
    other(t, seat, expected) {
      if (due(`other ${seat}`, t, 1) === 0) return;
      const comes = expected === 'pads' ? 'notes' : 'pads';
      tell({
        level: 'warn',
        what: `Seat ${seat} is to take ${expected}, and ${comes} are handed on for it`,
        where,
        next: `Write "hand: ${comes}" beside "osc:" in the seat's "from", or "hand: ${expected}" on the other computer`,
      });
    },
  };
}
