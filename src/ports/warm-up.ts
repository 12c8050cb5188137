import { Subject } from 'rxjs';
import { midiEncoder } from '../engine/midi.js';
import { oscEncoder } from '../engine/osc.js';
import { PLAIN } from '../engine/osc-messages.js';
import type { SeatSound } from '../engine/seat-sound.js';
import type { Build } from '../instrument/types.js';
import { way, type SeatPlan } from '../pipeline.js';
import { plainRoom } from '../room/plan.js';
import type { VoiceEvent } from '../room/voice.js';
import type { Seated } from '../time/alongside.js';
import { virtualClock } from '../time/clock.js';
import { MILLISECOND } from '../time/micros.js';
import type { AnyStage } from '../time/stage.js';
import { through } from '../time/through.js';
import { decodePads, encodePads } from '../wire/osc-pads.js';
import type { WireEvent } from '../wire/scan.js';

/** Node's compiler takes some thousand calls to make its best of a function (measured on Node 20). */
const TOUCHES = 4_000;
const REST = 1_000;
const SPAN = 500;

/**
 * Plays a few thousand made-up touches through the first seat's way and through encoders, to
 * nobody, so that the first real notes are as quick as later ones. Takes about a fifth of a second.
 */
export function warmUp(plan: SeatPlan, sound: SeatSound): void {
  const { pads, full } = plan.pads;
  const build: Build = {
    wiring: Array.from({ length: pads }, (_, pad) => pad),
    pads: Array.from({ length: pads }, () => ({ rest: REST, span: SPAN, noise: 10, coupling: [] })),
  };
  // A module of somebody's own is warmed up as it is loaded.
  const warm: SeatPlan = {
    ...plan,
    logic: undefined,
    pads: { ...plan.pads, build, full: REST + SPAN },
  };
  const entry = new Subject<Seated<WireEvent>>();
  const encoders = [
    oscEncoder({ seats: [sound], messages: PLAIN, ahead: null }),
    midiEncoder({ seats: [sound], channels: 'seat' }),
  ].map(runner);
  entry
    .pipe(
      through(
        way([warm], plainRoom(1), () => undefined),
        virtualClock(),
      ),
    )
    .subscribe((event) => {
      for (const encode of encoders) encode(event);
    });

  let t = 0;
  const feed = (inputs: readonly number[], raw: number): void => {
    t += 8 * MILLISECOND;
    const packet = encodePads({ seat: sound.name, inputs, raws: inputs.map(() => raw) });
    for (const reading of decodePads(packet, () => REST + SPAN + full).readings) {
      const event: WireEvent = { ...reading, type: 'scan', t };
      entry.next({ type: 'seated', t, seat: 0, event });
    }
  };
  const all = build.wiring.map((_, input) => input);
  feed(all, REST);
  for (let n = 0; n < TOUCHES; n++) {
    const input = [n % pads];
    feed(input, REST + SPAN);
    feed(input, REST);
    if (n % 8 === 0) feed(all, REST);
  }
  entry.complete();
}

function runner(stage: AnyStage<VoiceEvent, unknown>): (event: VoiceEvent) => void {
  let state: unknown = stage.begin();
  return (event) => {
    state = stage.step(state, event).state;
  };
}
