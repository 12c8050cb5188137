import type { MidiWire } from '../instrument/types.js';
import { absentSeatOf, fits, portNames, settleClaims, type Claim, type Known } from './claim.js';
import { askWords, elsewhereWords, openWords, spareWords } from './claim-words.js';
import type { Notice, Tell } from './contracts.js';
import type { LiveClock } from './live-clock.js';
import { choosePort } from './midi-choose.js';
import type { MidiPort } from './midi-names.js';
import type { SeatEntry } from './midi-seat.js';
import type { MidiSystem } from './midi-system.js';
import { openUnit, type Unit } from './midi-unit.js';
import { alikeAmong, type UnitId } from './unit-id.js';
import type { UnitMemory } from './unit-memory.js';

/** A seat that is given a unit by part of its port's name. */
export interface UnitSeat {
  readonly name: string;
  readonly part: string;
  readonly as: MidiWire;
  readonly entry: SeatEntry;
}

export interface MidiUnitsOptions {
  /** In the order of the room. */
  readonly seats: readonly UnitSeat[];
  /** Seats of the room that are not open here. */
  readonly absent: readonly string[];
  readonly memory: UnitMemory;
  readonly clock: LiveClock;
  readonly tell: Tell;
  readonly system: MidiSystem;
}

interface SeatState {
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
 *
 * @returns what closes all of it
 */
export function midiUnits(options: MidiUnitsOptions): () => void {
  const { seats, absent, memory, clock, tell, system } = options;
  const states = seats.map((): SeatState => ({
    unit: undefined,
    had: false,
    lost: null,
    said: '',
  }));
  const units = new Set<Unit>();
  /** Ports for which no seat was free, by their ids. */
  const spares = new Map<string, UnitId | null>();
  let ports: readonly MidiPort[] = [];
  let names = portNames([]);

  function say(seat: number, words: Omit<Notice, 'where'>): void {
    const state = states[seat]!;
    if (state.said === words.what) return;
    state.said = words.what;
    tell({ ...words, where: seats[seat]!.entry.where });
  }

  const known = (): Known => ({
    remembered: memory.remembered,
    alike: memory.alike,
    absent,
  });
  const seatsFor = (port: string): number[] =>
    [...seats.keys()].filter((seat) => fits(seats[seat]!.part, port, names));

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
    states.forEach((state, seat) => {
      if (!state.unit) missing(seat);
      seats[seat]!.entry.look(state.unit?.counts);
    });
  }

  function* ids(): Iterable<UnitId> {
    for (const { id } of units) if (id) yield id;
    for (const id of spares.values()) if (id) yield id;
  }

  function check(unit: Unit): void {
    const { gone, missed } = unit.look(ports);
    if (missed > 0 && unit.seat !== undefined) seats[unit.seat]!.entry.missed(missed);
    if (gone) lose(unit);
  }

  function lose(unit: Unit): void {
    const { seat, name, id } = unit;
    units.delete(unit);
    unit.close();
    if (seat === undefined) return;
    Object.assign(states[seat]!, { unit: undefined, lost: id ? null : name });
    seats[seat]!.entry.reset('lost');
    const next = `Plug it in again or start it again; ${AGAIN}`;
    say(seat, { level: 'warn', what: `the MIDI port "${name}" has gone`, next });
  }

  /** A port that nobody listens to here: it may be a unit. */
  function meet(port: MidiPort): void {
    const fitting = seatsFor(port.name);
    const free = fitting.filter((seat) => !states[seat]!.unit);
    const [first] = free.sort((a, b) => seats[b]!.part.length - seats[a]!.part.length);
    if (first !== undefined) {
      listen(port, first);
    } else if (fitting.length > 0 && !spares.has(port.id)) {
      spares.set(port.id, system.identity(port.address));
      tell({ ...spareWords(port.name), where: 'MIDI' });
    }
  }

  function listen(port: MidiPort, first: number): void {
    const unit = openUnit(system, clock, port, seats[first]!, () => {
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
    const { claims, asks } = settleClaims(
      states.map(({ unit, lost }, i) => {
        const { name, part } = seats[i]!;
        return { name, part, taken: unit !== undefined, lost };
      }),
      waiting.map((unit) => ({ port: unit.name, id: unit.id, touched: unit === touched })),
      names,
      known(),
    );
    for (const { unit, seat, why } of claims) take(waiting[unit]!, seat, why);
    for (const ask of asks) say(ask.seat, askWords(ask));
  }

  function take(unit: Unit, seat: number, why: Claim['why']): void {
    const state = states[seat]!;
    const { name, part, as, entry } = seats[seat]!;
    unit.sit(seat, as, entry, why === 'touched');
    say(seat, openWords(unit.name, unit.id, memory.alike, state.had, why));
    Object.assign(state, { unit, had: true, lost: null });
    if (unit.id) memory.keep(name, part, unit.name, unit.id);
  }

  /** Says why a seat has no unit, where that was not said when it went or is not being asked. */
  function missing(seat: number): void {
    if (states[seat]!.had) return;
    const { part } = seats[seat]!;
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

  const stop = system.watch(look);
  return () => {
    stop();
    for (const unit of units) unit.close();
  };
}
