import type { Instrument, Rules } from './instrument/types.js';
import { levels } from './pads/levels.js';
import type { PadsPlan } from './pads/plan.js';
import { touches } from './pads/touches.js';
import { playing } from './playing/playing.js';
import { voices } from './room/voices.js';
import type { VoiceEvent } from './room/voice.js';
import { alongside, type OnFault, type Seated } from './time/alongside.js';
import { chain } from './time/chain.js';
import type { AnyStage } from './time/stage.js';
import type { NoteEvent } from './playing/note.js';
import type { WireEvent } from './wire/scan.js';

/** All that one seat needs to play. */
export interface SeatPlan {
  readonly instrument: Instrument;
  readonly pads: PadsPlan;
  readonly rules: Rules;
}

/** One seat's part of the way: what one player's unit says becomes that player's notes. */
export function seatWay({ instrument, pads, rules }: SeatPlan): AnyStage<WireEvent, NoteEvent> {
  return chain('seat', levels(pads, rules), touches(pads, rules), playing(instrument, rules));
}

/** The whole way, from the readings of every seat to the voices that the engines are told of. */
export function way(
  seats: readonly SeatPlan[],
  onFault: OnFault,
): AnyStage<Seated<WireEvent>, VoiceEvent> {
  return chain(
    'way',
    alongside('seats', seats.map(seatWay), onFault),
    voices(seats.map((seat) => seat.rules.voices)),
  );
}
