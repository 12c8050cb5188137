import type { MidiWire } from '../../instrument/types.js';
import {
  absentSeatOf,
  fits,
  portNames,
  settleClaims,
  type Claim,
  type Known,
} from '../units/claim.js';
import { askWords, elsewhereWords, openWords, spareWords } from '../units/claim-words.js';
import type { Notice, Tell } from '../contracts.js';
import type { LiveClock } from '../live-clock.js';
import { choosePort } from './choose.js';
import type { MidiPort } from './names.js';
import type { SeatEntry } from './seat.js';
import type { MidiSystem } from './system.js';
import { openUnit, type Unit } from './unit.js';
import { alikeAmong, type UnitId } from '../units/id.js';
import type { UnitMemory } from '../units/memory.js';

/** A seat that is given a unit by part of its port's name. */
export interface UnitSeat {
  readonly name: string;
  readonly part: string;
  readonly as: MidiWire;
  readonly entry: SeatEntry;
}

export interface MidiUnitsOptions {
  /** Seats of the room that are not open here. */
  readonly absent: readonly string[];
  readonly memory: UnitMemory;
  readonly clock: LiveClock;
  readonly tell: Tell;
  readonly system: MidiSystem;
}

/** The units of a room's seats. */
export interface MidiUnits {
  /** A seat waits for its unit, from the next look on. Seats are asked for in the order in which they came. */
  add(slot: number, seat: UnitSeat): void;
  /** It does not any more: nothing comes of it after this, and its unit is free for others. */
  remove(slot: number): void;
  /** Looks at once; left out, it is done soon after seats were added or removed. */
  look(): void;
  close(): void;
}

interface SeatState extends UnitSeat {
  readonly slot: number;
  unit: Unit | undefined;
  /** Whether it has had a unit. */
  had: boolean;
  lost: string | null;
  said: string;
}

const AGAIN = 'it is tried again every second';

/**
 * Gives units their seats, and listens to those that wait for one until a touch tells (`claim.ts`).
 * Looks once a second for units that come and go.
 */
export function midiUnits(options: MidiUnitsOptions): MidiUnits {
  const { absent, memory, clock, tell, system } = options;
  /** By slot. */
  const seats = new Map<number, SeatState>();
  const units = new Set<Unit>();
  /** Ports for which no seat was free, by their ids. */
  const spares = new Map<string, UnitId | null>();
  let ports: readonly MidiPort[] = [];
  let names = portNames([]);

  function say(seat: SeatState, words: Omit<Notice, 'where'>): void {
    if (seat.said === words.what) return;
    seat.said = words.what;
    tell({ ...words, where: seat.entry.where });
  }

  const known = (): Known => ({
    remembered: memory.remembered,
    alike: memory.alike,
    absent,
  });
  const seatsFor = (port: string): SeatState[] =>
    [...seats.values()].filter(({ part }) => fits(part, port, names));
  const seatOf = ({ seat }: Unit): SeatState | undefined =>
    seat === undefined ? undefined : seats.get(seat);

  function look(): void {
    const now = system.ports('input');
    ports = now ?? [];
    names = portNames(ports.map(({ name }) => name));
    for (const unit of [...units]) check(unit);
    if (!now) {
      system.complain(tell);
      return;
    }
    for (const id of spares.keys()) if (!now.some((port) => port.id === id)) spares.delete(id);
    for (const port of now) if (!system.taken.input.has(port.id)) meet(port);
    memory.keepAlike(alikeAmong([...ids()]));
    settle();
    for (const unit of units) {
      if (unit.seat === undefined) for (const notice of unit.troubles()) tell(notice);
    }
    for (const seat of seats.values()) {
      if (!seat.unit) missing(seat);
      seat.entry.look(seat.unit?.counts);
    }
  }

  function* ids(): Iterable<UnitId> {
    for (const { id } of units) if (id) yield id;
    for (const id of spares.values()) if (id) yield id;
  }

  function check(unit: Unit): void {
    const { gone, missed } = unit.look(ports);
    if (missed > 0) seatOf(unit)?.entry.missed(missed);
    if (gone) lose(unit);
  }

  function lose(unit: Unit): void {
    const { name, id } = unit;
    units.delete(unit);
    unit.close();
    const seat = seatOf(unit);
    if (!seat) return;
    Object.assign(seat, { unit: undefined, lost: id ? null : name });
    seat.entry.reset('lost');
    const next = `Plug it in again or start it again; ${AGAIN}`;
    say(seat, { level: 'warn', what: `the MIDI port "${name}" has gone`, next });
  }

  /** A port that nobody listens to here: it may be a unit. */
  function meet(port: MidiPort): void {
    const fitting = seatsFor(port.name);
    const free = fitting.filter(({ unit }) => !unit);
    const [first] = free.sort((a, b) => b.part.length - a.part.length);
    if (first !== undefined) {
      listen(port, first);
    } else if (fitting.length > 0 && !spares.has(port.id)) {
      spares.set(port.id, system.identity(port.address));
      tell({ ...spareWords(port.name), where: 'MIDI' });
    }
  }

  function listen(port: MidiPort, first: SeatState): void {
    const unit = openUnit(system, clock, port, first, () => {
      settle(unit);
    });
    if (unit) {
      spares.delete(port.id);
      units.add(unit);
      return;
    }
    say(first, {
      level: 'warn',
      what: `the MIDI port "${port.name}" could not be opened`,
      next: `Close other programs that may be using it; ${AGAIN}`,
    });
  }

  /** @param touched the unit of which a pad is touched just now */
  function settle(touched?: Unit): void {
    const waiting = [...units].filter(({ seat }) => seat === undefined);
    if (waiting.length === 0) return;
    const all = [...seats.values()];
    const { claims, asks } = settleClaims(
      all.map(({ name, part, unit, lost }) => ({ name, part, taken: unit !== undefined, lost })),
      waiting.map((unit) => ({ port: unit.name, id: unit.id, touched: unit === touched })),
      names,
      known(),
    );
    for (const { unit, seat, why } of claims) take(waiting[unit]!, all[seat]!, why);
    for (const ask of asks) say(all[ask.seat]!, askWords(ask));
  }

  function take(unit: Unit, seat: SeatState, why: Claim['why']): void {
    const { slot, name, part, as, entry, had } = seat;
    unit.sit(slot, as, entry, why === 'touched');
    say(seat, openWords(unit.name, unit.id, memory.alike, had, why));
    Object.assign(seat, { unit, had: true, lost: null });
    if (unit.id) memory.keep(name, part, unit.name, unit.id);
  }

  /** Says why a seat has no unit, where that was not said when it went or is not being asked. */
  function missing(seat: SeatState): void {
    const { had, part } = seat;
    if (had) return;
    const waiting = [...units].filter(
      (unit) => unit.seat === undefined && fits(part, unit.name, names),
    );
    if (waiting.length > 0) {
      const owners = waiting.map(({ id }) => absentSeatOf(id, known()));
      const others = owners.filter((name) => name !== undefined);
      if (others.length === owners.length) say(seat, elsewhereWords(others));
      return;
    }
    const choice = choosePort(part, 'input', ports, system.taken.input);
    if (!choice.port) say(seat, { level: 'warn', what: choice.what, next: choice.next });
  }

  let stop: (() => void) | null = null;
  let due = false;

  /** Ports are watched only while there is a seat to watch for. */
  function watch(): void {
    due = false;
    if (seats.size === 0) end();
    else if (stop) look();
    else stop = system.watch(look);
  }

  function end(): void {
    stop?.();
    stop = null;
    for (const unit of units) unit.close();
    units.clear();
    spares.clear();
  }

  /** Once all seats of one change are known: which unit is whose hangs on all of them. */
  function soon(): void {
    if (due) return;
    due = true;
    queueMicrotask(() => {
      if (due) watch();
    });
  }

  return {
    add(slot, seat) {
      seats.set(slot, { ...seat, slot, unit: undefined, had: false, lost: null, said: '' });
      soon();
    },
    remove(slot) {
      const unit = seats.get(slot)?.unit;
      seats.delete(slot);
      if (unit) units.delete(unit);
      unit?.close();
      soon();
    },
    look: watch,
    close() {
      seats.clear();
      watch();
    },
  };
}
