import { misfit } from './instrument/fits.js';
import { padCount } from './instrument/instrument-pads.js';
import type { Instrument, OwnCode, Rules } from './instrument/types.js';
import { levels } from './pads/levels.js';
import type { PadsPlan } from './pads/plan.js';
import { touches } from './pads/touches.js';
import { holdGesture, type HoldGesture } from './playing/hold-gesture.js';
import { handed } from './playing/handed.js';
import { ownLogic, type OnLogicFault } from './playing/own-logic.js';
import type { Logic } from './playing/own-logic-run.js';
import { soundOf } from './engine/seat-sound.js';
import type { Change } from './room/change.js';
import type { RoomPlan, SeatMix } from './room/plan.js';
import { sharing, type RoomInput, type RoomSeat } from './room/room.js';
import type { Leave } from './room/seating.js';
import type { VoiceEvent } from './room/voice.js';
import { alongside, type OnFault, type Seated, type Seating } from './time/alongside.js';
import { chain } from './time/chain.js';
import { replaceable, type Replacement } from './time/replaceable.js';
import type { Micros } from './time/micros.js';
import type { Timed } from './time/events.js';
import type { AnyStage } from './time/stage.js';
import type { NoteEvent, SeatEvent } from './playing/note.js';
import type { WireEvent } from './wire/scan.js';

/** All that one seat needs to play. */
export interface SeatPlan {
  readonly instrument: Instrument;
  readonly pads: PadsPlan;
  readonly rules: Rules;
  /** True where another computer makes the seat's notes, and hands on those instead of readings. */
  readonly made?: boolean;
  /** Pads that, held together, mean that the player wants other rules. */
  readonly gesture?: HoldGesture;
  /** Makes a module play that rules name; left out: the built-in logic plays instead. */
  readonly logic?: ((own: OwnCode) => Logic) | undefined;
}

/**
 * Puts itself around a stage as it is made, to see what goes in and out of it; it changes nothing.
 * `plan` is the seat's, by which the stage plays.
 */
export type Watch = <Event extends Timed, Out>(
  stage: AnyStage<Event, Out>,
  plan: SeatPlan,
) => AnyStage<Event, Out>;

/**
 * One seat's part of the way: what one player's unit says becomes that player's notes.
 *
 * @param watch put around each of its stages
 */
export function seatWay(
  seat: SeatPlan,
  onGesture: (t: Micros) => void = () => undefined,
  onLogicFault: OnLogicFault = () => undefined,
  watch: Watch = (stage) => stage,
): AnyStage<WireEvent, SeatEvent> {
  return replaceable<WireEvent, SeatEvent, SeatPlan>(
    'seat',
    seat,
    (plan) => stagesOf(plan, onGesture, onLogicFault, watch),
    swapped,
    ({ rules }, t) => [{ type: 'limits', t, voices: rules.voices }],
  );
}

function stagesOf(
  plan: SeatPlan,
  onGesture: (t: Micros) => void,
  onLogicFault: OnLogicFault,
  watch: Watch,
): AnyStage<WireEvent, NoteEvent> {
  const { instrument, pads, rules, made = false, gesture, logic } = plan;
  if (made) return handed();
  const own = logic && rules.logic?.code ? logic(rules.logic) : null;
  const player = watch(ownLogic(instrument, rules, own, onLogicFault), plan);
  const played = gesture ? chain('player', holdGesture(gesture, onGesture), player) : player;
  return chain('seat', watch(levels(pads, rules), plan), watch(touches(pads, rules), plan), played);
}

/**
 * The plan after a swap; null for all other events. Other rules go on with what is held and with what
 * was learned of the pads; other logic goes on with the latter; another instrument or build begins again. A
 * build that does not fit its instrument is left out, and the unit calibrated as it goes: only a take can ask
 * for that.
 */
export function swapped(plan: SeatPlan, event: WireEvent): Replacement<SeatPlan> | null {
  if (event.type !== 'swap') return null;
  const { rules = plan.rules, instrument = plan.instrument } = event;
  const named = event.build === undefined ? plan.pads.build : event.build;
  const build = named && misfit(instrument, named) ? null : named;
  const keeps = event.instrument === undefined && event.build === undefined;
  const wiring = event.build === undefined ? plan.pads.wiring : event.wiring;
  const pads = keeps ? plan.pads : { ...plan.pads, build, wiring, pads: padCount(instrument) };
  const ends = rules.logic?.code !== plan.rules.logic?.code;
  return { plan: { ...plan, rules, instrument, pads }, keeps, ends };
}

/**
 * A seat takes a free slot, and plays by a plan from now on. Where another one plays there, that one
 * leaves first.
 */
export interface Join extends Timed {
  readonly type: 'join';
  /** The slot: from 0 to `MOST_SEATS` − 1, the seat's number for as long as it plays. */
  readonly seat: number;
  readonly name: string;
  readonly plan: SeatPlan;
  readonly mix: SeatMix;
}

/** All that goes into the way: what the wires bring, what people change, and who joins and leaves. */
export type WayEvent = Seated<WireEvent> | Change | Join | Leave;

/** What the room needs to know of a seat. */
export function sharerOf({ instrument, rules }: SeatPlan): RoomSeat {
  return { voices: rules.voices, drums: instrument.kind === 'hits' };
}

/**
 * The first part of the way, from the readings of every seat to its notes; what people change goes by.
 *
 * @param seats by slot as it begins; null where nobody plays
 * @param onGesture told that a seat's gesture was made, from within a step: it must not put anything in
 * @param watchOf by slot, what is put around each of its stages as they are made
 */
export function seatsWay(
  seats: readonly (SeatPlan | null)[],
  onFault: OnFault,
  onGesture: (seat: number, t: Micros) => void = () => undefined,
  watchOf: ((seat: number) => Watch | undefined) | undefined = undefined,
): AnyStage<WayEvent, RoomInput> {
  const make = (plan: SeatPlan, slot: number): AnyStage<WireEvent, SeatEvent> =>
    seatWay(
      plan,
      (t) => onGesture(slot, t),
      (t, fault) => onFault(slot, t, fault),
      watchOf?.(slot),
    );
  type Other = Change | Join | Leave;
  return alongside<WireEvent, SeatEvent, Other, RoomInput>(
    'seats',
    seats.map((plan, slot) => plan && make(plan, slot)),
    onFault,
    (event): Seating<WireEvent, SeatEvent, RoomInput> | null => {
      if (event.type === 'leave') return { seat: event.seat, stage: null, told: event };
      if (event.type !== 'join') return null;
      const { t, seat, name, plan, mix } = event;
      const sound = soundOf({ name, ...mix }, plan.instrument);
      const told: RoomInput = { type: 'join', t, seat, mix, of: sharerOf(plan), sound };
      return { seat, stage: make(plan, seat), told };
    },
  ) as AnyStage<WayEvent, RoomInput>;
}

/**
 * The whole way, from the readings of every seat, and what people change meanwhile, to the voices
 * that the engines are told of.
 *
 * @param seats by slot as it begins; null where nobody plays
 * @param room one mix a slot
 * @param onGesture told that a seat's gesture was made, from within a step: it must not put anything in
 * @param watchOf by slot, what is put around each of its stages
 */
export function way(
  seats: readonly (SeatPlan | null)[],
  room: RoomPlan,
  onFault: OnFault,
  onGesture: (seat: number, t: Micros) => void = () => undefined,
  watchOf: ((seat: number) => Watch) | undefined = undefined,
): AnyStage<WayEvent, VoiceEvent> {
  return chain(
    'way',
    seatsWay(seats, onFault, onGesture, watchOf),
    sharing(
      seats.map((seat) => seat && sharerOf(seat)),
      room,
    ),
  );
}
