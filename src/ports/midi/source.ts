import { Subject } from 'rxjs';
import type { Seated } from '../../time/alongside.js';
import type { WireEvent } from '../../wire/scan.js';
import type { Source, Tell } from '../contracts.js';
import type { LiveClock } from '../live-clock.js';
import { listenTo } from './input.js';
import { midiLink } from './link.js';
import type { NativeInput } from './native.js';
import { midiReader } from './reader.js';
import { seatEntry, type MidiSeat, type SeatEntry } from './seat.js';
import { midiSystem, type MidiSystem } from './system.js';
import { midiUnits } from './units.js';
import { briefMemory, type UnitMemory } from '../units/memory.js';

export interface MidiSourceOptions {
  /** Those that play as it begins. */
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

/** Raw pad states from MIDI ports. */
export interface MidiSource extends Source {
  /** A seat is played from now on. */
  add(seat: MidiSeat): void;
  /** It is not any more: nothing comes of it after this. */
  remove(slot: number): void;
  /** Looks for units at once; left out, it is done soon after seats were added or removed. */
  look(): void;
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
}: MidiSourceOptions): MidiSource {
  const events = new Subject<Seated<WireEvent>>();
  const units = midiUnits({ absent, memory, clock, tell, system });
  /** By slot; `close` is of ports of our own. */
  const open = new Map<number, { readonly entry: SeatEntry; readonly close: () => void }>();

  function add(seat: MidiSeat): void {
    const entry = seatEntry(seat, clock, tell, events, onProgram, onSign);
    const { from, as, seatName: name, seat: slot } = seat;
    let close = (): void => units.remove(slot);
    if ('midi' in from) units.add(slot, { name, part: from.midi, as, entry });
    else close = openOwnSeat(seat, from.virtual, entry, clock, tell, system);
    open.set(slot, { entry, close });
  }

  for (const seat of seats) add(seat);
  units.look();
  return {
    events: events.asObservable(),
    look: () => units.look(),
    add,
    remove(slot) {
      open.get(slot)?.close();
      open.delete(slot);
    },
    close() {
      const all = [...open.values()];
      open.clear();
      for (const { close } of all) close();
      units.close();
      for (const { entry } of all) entry.reset('end');
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
      again();
      entry.reset('lost');
    },
    missed(count) {
      again();
      entry.missed(count);
    },
    look: () => {
      entry.look(reader.counts);
    },
  });

  function again(): void {
    reader.close();
    reader = begin();
  }

  return () => {
    link.close();
    reader.close();
  };
}
