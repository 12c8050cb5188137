import type { Build } from '../../instrument/types.js';
import { namesOf } from '../../ports/files/find.js';
import type { ReadySeat, WholeRoom } from '../../ports/files/room.js';
import type { LiveRoom } from '../../ports/room/live.js';
import type { RulesChoice } from '../../ports/room/rules-choice.js';
import type { ScreenSource } from '../../ports/screen-source.js';
import type { Service } from '../../ports/service.js';
import { stated } from '../../takes/change-shape.js';
import type { Ask } from '../link/asks.js';
import type { HostEngines } from './engines.js';
import type { Holds } from './holds.js';
import type { Keeping } from './keeping.js';
import type { Presses } from './presses.js';
import type { Seating } from './seating.js';
import type { HostSeat } from './seats.js';
import { withValues } from './try-rules.js';

/**
 * What the main thread does for pages: everything that must reach the playing room. All else (the
 * network, files, guides, verdicts, recording) is the page thread's, so that it never holds up a touch.
 * Seats and engines are named by their ids: an order may come when another has taken their place.
 */
export type Order =
  | Extract<
      Ask,
      {
        ask:
          | 'seat'
          | 'room'
          | 'silence'
          | 'engine'
          | 'press'
          | 'release'
          | 'plug'
          | 'rules'
          | 'try'
          | 'undo-tried'
          | 'keep';
      }
    >
  /** Whether anybody looks: levels and voices are written to the shared memory only then. */
  | { readonly ask: 'look'; readonly on: boolean }
  /** Sends the raw readings of these seats on, in batches; null: of all, and of those that come later. */
  | { readonly ask: 'readings'; readonly seats: readonly number[] | null }
  /** A seat's unit has another build now: it is written as `name`, and in effect at once. */
  | {
      readonly ask: 'build';
      readonly seat: number;
      readonly build: Build;
      readonly name: string;
    }
  /** Mutes a seat beside its own mute while it is wired or calibrated. */
  | { readonly ask: 'hold'; readonly seat: number; readonly on: boolean };

/** What orders work on. */
export interface Orderable {
  readonly folder: string;
  readonly service: Pick<Service, 'change' | 'swap' | 'silence'>;
  readonly rules: Pick<RulesChoice, 'named'>;
  readonly live: Pick<LiveRoom, 'reload' | 'whole'>;
  readonly screen: Pick<ScreenSource, 'plug'> | null;
  readonly presses: Presses;
  readonly engines: Pick<HostEngines, 'byId'>;
  readonly seats: Pick<Seating, 'byId'>;
  readonly holds: Pick<Holds, 'hold'>;
  readonly keeping: Keeping;
  look(on: boolean): void;
  readings(seats: readonly number[] | null): void;
  /** A part of the state that only an order changes is another now. */
  changed(part: 'room' | 'seats' | 'engines', rulesNames?: readonly string[]): void;
}

/** Why an order was refused, in words; null: it was carried out. */
export type Answer = string | null;

/** Carries one order out; those that need files are over only later. */
export function carryOut(order: Order, on: Orderable): Answer | Promise<Answer> {
  if (!('seat' in order)) return ofRoom(order, on);
  const seat = on.seats.byId(order.seat);
  return seat ? ofSeat(order, seat, on) : LEFT;
}

type OfSeat = Extract<Order, { readonly seat: number }>;

function ofRoom(order: Exclude<Order, OfSeat>, on: Orderable): Answer {
  switch (order.ask) {
    case 'room': {
      const { scale, duck, voices } = order;
      on.service.change({ type: 'room-change', ...stated({ scale, duck, voices }) });
      return null;
    }
    case 'silence':
      on.service.silence();
      return null;
    case 'engine': {
      const own = on.engines.byId(order.engine);
      if (!own) return 'This engine is no longer in the room';
      own.engine.turn(order.on);
      on.changed('engines');
      return null;
    }
    case 'look':
      on.look(order.on);
      return null;
    case 'readings':
      on.readings(order.seats);
      return null;
  }
}

function ofSeat(order: OfSeat, seat: HostSeat, on: Orderable): Answer | Promise<Answer> {
  const { service, presses, screen } = on;
  switch (order.ask) {
    case 'seat': {
      const { level, pan, mute, solo, lead, sound } = order;
      const change = stated({ level, pan, mute, solo, lead, sound });
      service.change({ type: 'seat-change', seat: seat.slot, ...change });
      return null;
    }
    case 'press':
      return presses.press(seat, order.pad, order.strength) ? null : NOT_ON_A_PAGE;
    case 'release':
      return presses.release(seat, order.pad) ? null : NOT_ON_A_PAGE;
    case 'plug':
      if (!screen || !seat.screen) return NOT_ON_A_PAGE;
      screen.plug(seat.slot, order.plugged);
      return null;
    case 'hold':
      on.holds.hold(seat.slot, order.on);
      return null;
    case 'try':
      return tryOut(on, seat, order.values);
    case 'undo-tried':
      return undo(on, seat);
    case 'rules':
      return choose(on, seat, order.name);
    case 'keep':
      return keep(on, seat, order.name);
    case 'build':
      return build(on, seat, order.name, order.build);
  }
}

const LEFT = 'This seat has left the room';
const NOT_ON_A_PAGE = 'This seat is not played on the page: its own unit plays it';

function tryOut({ service, changed }: Orderable, seat: HostSeat, values: Tried): Answer {
  const rules = withValues(seat.plan.rules, values);
  if (typeof rules === 'string') {
    seat.fault = rules;
    changed('seats');
    return rules;
  }
  seat.trying(rules);
  service.swap(seat.slot, { rules });
  return null;
}

type Tried = Extract<Order, { ask: 'try' }>['values'];

function undo({ service, changed }: Orderable, seat: HostSeat): Answer {
  seat.fault = null;
  changed('seats');
  if (seat.plan.rules !== seat.base) service.swap(seat.slot, { rules: seat.base });
  return null;
}

async function choose(on: Orderable, seat: HostSeat, name: string): Promise<Answer> {
  const { folder, rules, changed } = on;
  const names = await namesOf('rules', folder);
  changed('room', names);
  if (seat.gone) return LEFT;
  // Only what has a name of its own: a page reads no other files.
  const known = [...names, seat.rulesName, ...seat.choiceNames];
  if (!known.includes(name)) {
    return `There are no rules "${name}": choose one of ${names.join(', ')}`;
  }
  const before = seat.turns;
  await rules.named(seat.slot, name);
  if (seat.gone) return LEFT;
  if (seat.turns === before) {
    return `The rules "${name}" cannot be used: their fault is among the messages. It plays on as before`;
  }
  seat.askedFor(name);
  changed('seats');
  return null;
}

async function keep(on: Orderable, seat: HostSeat, name: string): Promise<Answer> {
  const { folder, live, service, keeping, changed } = on;
  const { rules } = seat.plan;
  const answer = await keeping.rules(seat.name, name, rules, seat.rulesName);
  const before = seat.turns;
  // One swap to the same values, by way of the file, so that nothing that is held ends.
  await live.reload();
  if (!seat.gone) {
    const kept = filesOf(live.whole, seat);
    if (answer === null && seat.turns === before && kept?.seat.rules === name) {
      service.swap(seat.slot, { rules: kept.rules });
    }
  }
  changed('room', await namesOf('rules', folder));
  changed('seats');
  return answer;
}

async function build(on: Orderable, seat: HostSeat, name: string, made: Build): Promise<Answer> {
  const { live, service, keeping, changed } = on;
  const answer = await keeping.build(seat.name, name, made);
  const before = seat.plan;
  await live.reload();
  if (seat.gone) return answer;
  // A new build restarts the seat, so it must not be given twice. Where another file of the
  // room has a mistake just now, it takes effect all the same.
  if (seat.plan.pads.build === before.pads.build && answer === null) {
    const kept = filesOf(live.whole, seat);
    const written = kept?.seat.build === name ? kept.build : null;
    service.swap(seat.slot, { build: written ?? made });
    seat.build = name;
  }
  changed('seats');
  return answer;
}

/** What the files say of a seat. */
function filesOf({ seats }: WholeRoom, seat: HostSeat): ReadySeat | undefined {
  return seats.find((one) => one.seat.name === seat.name);
}
