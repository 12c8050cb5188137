import type { Subject } from 'rxjs';
import type { MidiWire } from '../../instrument/types.js';
import type { Seated } from '../../time/alongside.js';
import type { Reason } from '../../time/events.js';
import type { WireCounts } from '../../wire/midi-codec.js';
import type { WireEvent } from '../../wire/scan.js';
import type { Tell } from '../contracts.js';
import type { LiveClock } from '../live-clock.js';
import { countNotices } from './counts.js';

/** A seat whose raw pad states come over MIDI. */
export interface MidiSeat {
  /** Its slot. */
  readonly seat: number;
  readonly seatName: string;
  /** A port by part of its name, or a port of our own for others to join. */
  readonly from: { readonly midi: string } | { readonly virtual: string };
  readonly as: MidiWire;
}

/** Where a seat's readings enter the room. */
export interface SeatEntry {
  readonly where: string;
  emit(event: WireEvent): void;
  /** Its board sent some message; `sensing`: Active Sensing. */
  alive(sensing: boolean): void;
  /** Its board sent a Program Change, counted from 1. */
  programmed(program: number): void;
  /** Whatever the seat holds ends. */
  reset(why: Reason): void;
  /** So many messages were lost because they came too fast. */
  missed(count: number): void;
  /** Tells what its wire could not use; to be called once a second. */
  look(counts: WireCounts | undefined): void;
}

export function seatEntry(
  { seat, seatName, as }: MidiSeat,
  clock: LiveClock,
  tell: Tell,
  events: Subject<Seated<WireEvent>>,
  onProgram: (seat: number, program: number) => void,
  onSign: (seat: number, sensing: boolean) => void,
): SeatEntry {
  const where = `seat ${seatName}`;
  let notices = countNotices(where, as);

  function emit(event: WireEvent): void {
    const t = clock.stamp(event.t);
    events.next({ type: 'seated', t, seat, event: { ...event, t } });
  }

  function reset(why: Reason): void {
    notices = countNotices(where, as);
    emit({ type: 'reset', t: clock.stamp(), why });
  }

  return {
    where,
    emit,
    reset,
    alive: (sensing) => {
      onSign(seat, sensing);
    },
    programmed: (program) => {
      onProgram(seat, program);
    },
    missed(count) {
      reset('overflow');
      tell({
        level: 'warn',
        what: `${String(count)} MIDI messages came faster than this computer could read them`,
        where,
        next: 'What was held has been ended. Let the board send less often, and close other programs',
      });
    },
    look(counts) {
      for (const notice of notices(counts)) tell(notice);
    },
  };
}
