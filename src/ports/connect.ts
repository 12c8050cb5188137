import { soundOf, type SeatSound } from '../engine/seat-sound.js';
import { padCount } from '../instrument/instrument.js';
import type { From, MidiWire, OscMessages, To } from '../instrument/types.js';
import type { PadsPlan } from '../pads/plan.js';
import type { SeatPlan } from '../pipeline.js';
import { fullScale } from '../wire/midi-wires.js';
import type { Engine, Tell } from './contracts.js';
import type { ReadySeat } from './files/room.js';
import type { LiveClock } from './live-clock.js';
import { logicsWith } from './logic/pool.js';
import { PATIENCE } from './logic/thread.js';
import { midiEngine } from './midi/ports.js';
import { oscEngine } from './osc/engine.js';
import { handOut } from './osc/hand-out.js';
import { builtinEngine } from './sound/engine.js';

/** A seat with its plan. */
export interface PlannedSeat {
  readonly ready: ReadySeat;
  readonly plan: SeatPlan;
}

/** Made-up units report as a 14-bit board does. */
const MADE_UP_FULL = 16_383;

/** Makes a seat's plan of what its files say. */
export function planSeat(ready: ReadySeat): PlannedSeat {
  const { instrument, build, rules, seat, take } = ready;
  const pads: PadsPlan = {
    pads: padCount(instrument),
    build,
    full: take?.full ?? fullOf(seat.from),
    decided: take ? take.decided === true : wireOf(seat.from) === 'notes',
    numbered: take ? take.numbered === true : wireOf(seat.from) === 'frames',
  };
  const made = take ? take.made === true : 'osc' in seat.from && seat.from.hand === 'notes';
  const logic = logicsWith(PATIENCE);
  const held = seat.switch && seat.switch.pads.length > 0 ? seat.switch : null;
  const gesture = held && { pads: held.pads, hold: held.hold };
  return {
    ready,
    plan: { instrument, pads, rules, made, logic, ...(gesture && { gesture }) },
  };
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

/**
 * Opens one engine of a room.
 *
 * @param seats by slot; null where nobody plays
 */
export function openEngine(
  to: To<OscMessages>,
  seats: readonly (SeatSound | null)[],
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
    return handOut({
      ...to.osc,
      hand,
      names: seats.map((seat) => seat?.name ?? null),
      clock,
      tell,
    });
  }
  return builtinEngine({ ...to.builtin, seats, tell });
}
