import { Subject } from 'rxjs';
import type { Seated } from '../time/alongside.js';
import type { WireEvent } from '../wire/scan.js';
import type { Source, Tell } from './contracts.js';
import type { LiveClock } from './live-clock.js';
import { listenTo } from './midi-input.js';
import { midiLink } from './midi-link.js';
import type { NativeInput } from './midi-native.js';
import { midiReader } from './midi-reader.js';
import { seatEntry, type MidiSeat, type SeatEntry } from './midi-seat.js';
import { midiSystem, type MidiSystem } from './midi-system.js';
import { midiUnits, type UnitSeat } from './midi-units.js';
import { briefMemory, type UnitMemory } from './unit-memory.js';

export interface MidiSourceOptions {
  readonly seats: readonly MidiSeat[];
  readonly clock: LiveClock;
  readonly tell: Tell;
  /** Which unit has which seat; left out: forgotten when the program ends. */
  readonly memory?: UnitMemory;
  /** The names of the room's other seats, which are not open here and keep their units. */
  readonly absent?: readonly string[];
  readonly system?: MidiSystem;
  /** Told of each Program Change of a seat's board, counted from 1. */
  readonly onProgram?: (seat: number, program: number) => void;
  /** Told of each message of a seat's board; `sensing`: it was Active Sensing. */
  readonly onSign?: (seat: number, sensing: boolean) => void;
}

/**
 * Raw pad states from MIDI ports, one unit a seat.
 *
 * A unit that is not there yet, or goes away, is looked for once a second. When it goes, its seat
 * gets a `lost` reset within two seconds. Which of several units of one name plays at which seat is
 * told by what the system knows of them, or by touch (`midiUnits`). It never throws; without a MIDI
 * system it says so once and waits.
 */
export function midiSource({
  seats,
  clock,
  tell,
  memory = briefMemory(),
  absent = [],
  system = midiSystem(),
  onProgram = () => undefined,
  onSign = () => undefined,
}: MidiSourceOptions): Source {
  const events = new Subject<Seated<WireEvent>>();
  const closers: (() => void)[] = [];
  const entries: SeatEntry[] = [];
  const named: UnitSeat[] = [];
  for (const seat of seats) {
    const entry = seatEntry(seat, clock, tell, events, onProgram, onSign);
    entries.push(entry);
    const { from, as, seatName: name } = seat;
    if ('midi' in from) named.push({ name, part: from.midi, as, entry });
    else closers.push(openOwnSeat(seat, from.virtual, entry, clock, tell, system));
  }
  if (named.length > 0) {
    closers.push(midiUnits({ seats: named, absent, memory, clock, tell, system }));
  }
  return {
    events: events.asObservable(),
    close() {
      for (const close of closers.splice(0)) close();
      for (const entry of entries.splice(0)) entry.reset('end');
      events.complete();
      return Promise.resolve();
    },
  };
}

/** A seat that other programs join by a port of our own. */
function openOwnSeat(
  { as }: MidiSeat,
  virtual: string,
  entry: SeatEntry,
  clock: LiveClock,
  tell: Tell,
  system: MidiSystem,
): () => void {
  const begin = () => midiReader(as, clock, entry.emit);
  let reader = begin();
  const link = midiLink<NativeInput>({
    system,
    direction: 'input',
    target: { virtual },
    where: entry.where,
    tell,
    create: () => listenTo(system, (bytes) => reader.take(bytes), entry.programmed, entry.alive),
    joined: () => undefined,
    lost() {
      anew();
      entry.reset('lost');
    },
    missed(count) {
      anew();
      entry.missed(count);
    },
    look: () => {
      entry.look(reader.counts);
    },
  });

  function anew(): void {
    reader.close();
    reader = begin();
  }

  return () => {
    link.close();
    reader.close();
  };
}
