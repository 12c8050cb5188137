import { nearest } from '../../instrument/near.js';
import { SECOND, type Micros } from '../../time/micros.js';
import type { OverScale } from '../../wire/osc-pads.js';
import type { Tell } from '../contracts.js';
import { clean } from '../printable.js';
import { repeats } from '../repeats.js';

/** What came that could not be used, since the source began. */
export interface OscFaultCounts {
  /** Messages that are no pad readings, or packets that are no OSC. */
  malformed: number;
  /** Messages for a seat that does not listen here. */
  unknown: number;
  /** Packets that the system dropped before they could be read (Linux says so, others do not). */
  dropped: number;
}

export interface OscFaults {
  readonly counts: OscFaultCounts;
  malformed(t: Micros, from: string, count: number, fault: string): void;
  /** A board counts further than its seat does. */
  over(t: Micros, from: string, reading: OverScale): void;
  unknown(from: string, seat: string): void;
  dropped(t: Micros, count: number): void;
}

/** The same kind of trouble is told again this long after at the earliest. */
const PAUSE: Micros = 5 * SECOND;
/** A sender that makes up names must not fill the memory, nor the screen. */
const MOST_NAMES = 20;
/** What is told of a seat's scale is told again so long after, if it goes on. */
const SCALE_PAUSE: Micros = 60 * SECOND;
/** What converters and touch chips give, in bits. */
const USUAL_BITS = [8, 10, 12, 14, 16] as const;

/** Counts what is wrong with what comes in, and tells of it without flooding. */
export function oscFaults(where: string, seats: () => Iterable<string>, tell: Tell): OscFaults {
  const counts: OscFaultCounts = { malformed: 0, unknown: 0, dropped: 0 };
  const unknown = new Set<string>();
  const due = repeats(PAUSE);
  const scaleDue = repeats(SCALE_PAUSE);

  return {
    counts,
    malformed(t, from, more, fault) {
      if (more === 0) return;
      counts.malformed += more;
      const count = due('malformed', t, more);
      if (count === 0) return;
      const some = count === 1 ? 'A message is no' : `${String(count)} messages are no`;
      tell({
        level: 'warn',
        what: `${some} pad reading; ${count === 1 ? 'it' : 'the last'} came from ${from}: ${clean(fault)}`,
        where,
        next: 'Check what the board sends: /pad is seat, input and raw value',
      });
    },
    over(t, from, { seat, input, raw, full }) {
      counts.malformed++;
      if (scaleDue(seat, t) === 0) return;
      const fitting = USUAL_BITS.filter((bits) => 2 ** bits > raw).map(
        (bits) => `"full: ${String(2 ** bits - 1)}" for ${String(bits)} bits`,
      );
      const such = fitting.length > 0 ? `: ${fitting.slice(0, 3).join(', ')}` : '';
      tell({
        level: 'warn',
        what: `The board at ${from} sends readings above the seat's full scale of ${String(full)}, such as ${String(raw)} from input ${String(input)}; they are left out`,
        where: `seat ${seat}`,
        next: `Write the highest value that the board can send beside "osc:" in the room file${such}`,
      });
    },
    unknown(from, seat) {
      counts.unknown++;
      if (unknown.has(seat) || unknown.size > MOST_NAMES) return;
      unknown.add(seat);
      if (unknown.size > MOST_NAMES) {
        const next = 'Check which boards send to this computer';
        tell({ level: 'warn', what: 'Boards keep coming with unknown names', where, next });
        return;
      }
      const names = [...seats()];
      const meant = nearest(seat, names);
      const guess = meant === undefined ? '' : `Did you mean "${meant}"? `;
      tell({
        level: 'warn',
        what: `The board at ${from} calls itself "${clean(seat)}", and no seat of that name listens here`,
        where,
        next: `${guess}Change the name on the board or in the room file; seats here: ${names.join(', ')}`,
      });
    },
    dropped(t, lost) {
      counts.dropped += lost;
      const count = due('dropped', t, lost);
      if (count === 0) return;
      tell({
        level: 'warn',
        what: `${String(count)} packets from boards came faster than they could be read and are lost, so all notes of this port were ended`,
        where,
        next: 'Let the boards send less often, or end other programs on this computer',
      });
    },
  };
}
