import { soundOf, type SeatSound } from '../engine/seat-sound.js';
import { padCount } from '../instrument/instrument.js';
import { printedOrder } from '../instrument/instrument-pads.js';
import { isOnPage } from '../instrument/room-from.js';
import type { From, MidiWire, OscMessages, To } from '../instrument/types.js';
import type { PadsPlan } from '../pads/plan.js';
import type { SeatPlan } from '../pipeline.js';
import { demoReadings } from '../takes/demo.js';
import type { Take } from '../takes/read.js';
import type { WireEvent } from '../wire/scan.js';
import { fullScale } from '../wire/midi-wires.js';
import { attendance } from './attendance.js';
import { attendedSeat } from './attended-from.js';
import type { Engine, Source, Tell } from './contracts.js';
import type { ReadySeat } from './files-room.js';
import type { LiveClock } from './live-clock.js';
import { logicsWith } from './logic-pool.js';
import { PATIENCE } from './logic-thread.js';
import { midiEngine, midiSource, type MidiSeat } from './midi-ports.js';
import { networkBudget, type NetworkBudget } from './network-budget.js';
import { oscEngine } from './osc-engine.js';
import { handOut } from './osc-hand-out.js';
import { oscSource, type OscSeat } from './osc-source.js';
import { builtinEngine } from './sound/engine.js';
import { screenSource, type ScreenSeat } from './screen-source.js';
import { readTakeFile } from './take-file.js';
import { seatOfTake } from './take-room-plan.js';
import { takePlayer } from './take-player.js';
import { briefMemory, fileMemory } from './unit-memory.js';

/** A seat's plan, and the take it plays from where it does. */
export interface PlannedSeat {
  readonly ready: ReadySeat;
  readonly plan: SeatPlan;
  readonly take: Take | null;
}

/** Made-up units report as a 14-bit board does. */
const MADE_UP_FULL = 16_383;

/**
 * Makes a seat's plan of what its files say.
 *
 * @throws TakeFileFault where it plays from a take that cannot be read
 */
export function planSeat(ready: ReadySeat): PlannedSeat {
  const { instrument, build, rules, seat } = ready;
  const take = 'take' in seat.from ? takeOf(seat.from) : null;
  const pads: PadsPlan = {
    pads: padCount(instrument),
    build,
    full: take?.header.full ?? fullOf(seat.from),
    decided: take ? take.header.decided === true : wireOf(seat.from) === 'notes',
    numbered: take ? take.header.numbered === true : wireOf(seat.from) === 'frames',
  };
  const made = take ? take.header.made === true : 'osc' in seat.from && seat.from.hand === 'notes';
  const logic = logicsWith(PATIENCE);
  const held = seat.switch && seat.switch.pads.length > 0 ? seat.switch : null;
  const gesture = held && { pads: held.pads, hold: held.hold };
  return {
    ready,
    plan: { instrument, pads, rules, made, logic, ...(gesture && { gesture }) },
    take,
  };
}

/** A seat that plays from a take of a whole room says which seat of it. */
function takeOf({ take, seat }: Extract<From, { take: string }>): Take {
  return seatOfTake(take, readTakeFile(take), seat, { by: '"seat:" beside "take:"' });
}

function wireOf(from: From): MidiWire | null {
  return 'as' in from ? from.as : null;
}

function fullOf(from: From): number {
  if ('osc' in from) return from.full;
  const wire = wireOf(from);
  return wire === null ? MADE_UP_FULL : fullScale(wire);
}

/** What the engines need to know of the seats. */
export function seatSounds(seats: readonly ReadySeat[]): SeatSound[] {
  return seats.map(({ seat, instrument }) => soundOf(seat, instrument));
}

/** How units find their seats. */
export interface UnitOptions {
  /** Where it is kept which unit has which seat; left out: forgotten when the program ends. */
  readonly folder?: string;
  /** The names of the room's seats that are not opened. */
  readonly absent?: readonly string[];
  /** Begin anew: forget which units these seats had. */
  readonly forget?: boolean;
  /** What each sender in the network may ask for; left out: one for these ports. */
  readonly budget?: NetworkBudget;
  /** The seats are played, and not only listened to. */
  readonly played?: boolean;
  /** Told of each Program Change of a seat's board, counted from 1. */
  readonly onProgram?: (seat: number, program: number) => void;
}

/** Opens what the seats' readings come from: one socket for all seats of one port. */
export function openSources(
  seats: readonly PlannedSeat[],
  clock: LiveClock,
  tell: Tell,
  units: UnitOptions = {},
): Source[] {
  const attending = attendance({ clock, tell });
  const attended = seats.map(({ ready, plan }, seat) =>
    attendedSeat(seat, ready.seat, plan, units.played === true),
  );
  const attend = <Own extends Source>(source: Own, of: readonly { seat: number }[]): void => {
    sources.push(
      attending.attend(
        source,
        of.map(({ seat }) => attended[seat]!),
      ),
    );
  };
  const midi: MidiSeat[] = [];
  const osc = new Map<number, Map<string, OscSeat>>();
  const screen: ScreenSeat[] = [];
  const sources: Source[] = [];
  seats.forEach(({ ready, plan, take }, seat) => {
    const { from, name } = ready.seat;
    if ('midi' in from) {
      midi.push({ seat, seatName: name, from: { midi: from.midi }, as: from.as });
    } else if ('virtual' in from) {
      midi.push({ seat, seatName: name, from: { virtual: from.virtual }, as: from.as });
    } else if ('osc' in from) {
      const port = osc.get(from.osc) ?? new Map<string, OscSeat>();
      osc.set(from.osc, port.set(name, { ...from, seat }));
    } else if (isOnPage(from)) {
      const { wires = 'straight', built = 'carefully' } = from;
      const order = printedOrder(plan.instrument);
      screen.push({ seat, name, order, full: plan.pads.full, wires, built });
    } else {
      attend(takePlayer(seat, readingsOf(plan, take, name, tell), clock), [{ seat }]);
    }
  });
  if (midi.length > 0) {
    const { folder, absent = [], forget = false, onProgram = () => undefined } = units;
    const memory = folder === undefined ? briefMemory() : fileMemory(folder, tell);
    if (forget) memory.forget([...midi.map(({ seatName }) => seatName), ...absent]);
    const onSign = attending.sign;
    attend(midiSource({ seats: midi, clock, tell, memory, absent, onProgram, onSign }), midi);
  }
  if (screen.length > 0) attend(screenSource({ seats: screen, clock, tell }), screen);
  const { budget = networkBudget({ tell }) } = units;
  for (const [port, named] of osc) {
    attend(oscSource({ port, seats: named, clock, tell, attending, budget }), [...named.values()]);
  }
  return sources;
}

function readingsOf(
  plan: SeatPlan,
  take: Take | null,
  where: string,
  tell: Tell,
): Iterable<WireEvent> {
  if (!take) return demoReadings(plan.instrument, plan.pads.pads);
  return take.events(({ line, what }) => {
    tell({ level: 'warn', what, where: `${where}, take line ${String(line)}` });
  });
}

/** Opens one engine of a room. */
export function openEngine(
  to: To<OscMessages>,
  seats: readonly SeatSound[],
  clock: LiveClock,
  tell: Tell,
): Engine {
  if ('midi' in to) {
    const { channels, ceiling, ...target } = to.midi;
    return midiEngine({ seats, target, channels, ceiling, tell });
  }
  if ('osc' in to) {
    const { hand } = to.osc;
    if (hand === undefined) return oscEngine({ ...to.osc, seats, clock, tell });
    return handOut({ ...to.osc, hand, names: seats.map(({ name }) => name), clock, tell });
  }
  return builtinEngine({ ...to.builtin, seats, tell });
}
