import { padCount } from './instrument/instrument-pads.js';
import type { Instrument, Rules } from './instrument/types.js';
import { levels } from './pads/levels.js';
import type { PadsPlan } from './pads/plan.js';
import { touches } from './pads/touches.js';
import { handed } from './playing/handed.js';
import { playing } from './playing/playing.js';
import type { Change } from './room/change.js';
import type { RoomPlan } from './room/plan.js';
import { sharing } from './room/room.js';
import type { VoiceEvent } from './room/voice.js';
import { alongside, type OnFault, type Seated } from './time/alongside.js';
import { chain } from './time/chain.js';
import { replaceable, type Replacement } from './time/replaceable.js';
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
}

/** One seat's part of the way: what one player's unit says becomes that player's notes. */
export function seatWay(seat: SeatPlan): AnyStage<WireEvent, SeatEvent> {
  return replaceable<WireEvent, SeatEvent, SeatPlan>(
    'seat',
    seat,
    stagesOf,
    swapped,
    ({ rules }, t) => [{ type: 'limits', t, voices: rules.voices }],
  );
}

function stagesOf({
  instrument,
  pads,
  rules,
  made = false,
}: SeatPlan): AnyStage<WireEvent, NoteEvent> {
  if (made) return handed();
  return chain('seat', levels(pads, rules), touches(pads, rules), playing(instrument, rules));
}

/**
 * The plan after a swap; null for all other events. Other rules go on with what is held and with what
 * was learned of the pads, another instrument or build begins anew.
 */
export function swapped(plan: SeatPlan, event: WireEvent): Replacement<SeatPlan> | null {
  if (event.type !== 'swap') return null;
  const { rules = plan.rules, instrument = plan.instrument, build = plan.pads.build } = event;
  const keeps = event.instrument === undefined && event.build === undefined;
  const pads = keeps ? plan.pads : { ...plan.pads, build, pads: padCount(instrument) };
  return { plan: { ...plan, rules, instrument, pads }, keeps };
}

/**
 * The whole way, from the readings of every seat, and what people change meanwhile, to the voices
 * that the engines are told of.
 *
 * @param room one mix a seat
 */
export function way(
  seats: readonly SeatPlan[],
  room: RoomPlan,
  onFault: OnFault,
): AnyStage<Seated<WireEvent> | Change, VoiceEvent> {
  const sharers = seats.map(({ instrument, rules }) => ({
    voices: rules.voices,
    drums: instrument.kind === 'hits',
  }));
  return chain(
    'way',
    alongside<WireEvent, SeatEvent, Change>('seats', seats.map(seatWay), onFault),
    sharing(sharers, room),
  );
}
