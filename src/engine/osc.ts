import type { OscMessages } from '../instrument/types.js';
import type { VoiceEvent, VoiceOn } from '../room/voice.js';
import type { Timed, Wake } from '../time/events.js';
import { NEVER, type Micros } from '../time/micros.js';
import { NOTHING, type Outcome, type Stage } from '../time/stage.js';
import { encodeOsc, type OscMessage } from '../wire/osc-codec.js';
import { oscTimeTag } from '../wire/osc-time.js';
import { compileMessages } from './osc-messages.js';
import type { SeatSound } from './seat-sound.js';

/** One OSC packet, as it goes into a datagram. */
export interface OscOut extends Timed {
  readonly type: 'osc';
  readonly packet: Uint8Array;
}

/** What each sounding voice began with, by its number. */
export type OscState = Map<number, VoiceOn>;

/** When a receiver should act on a message: this long after its event, by its own clock. */
export interface Ahead {
  readonly by: Micros;
  /** The event's time as microseconds since the start of 1970. */
  readonly toUnix: (t: Micros) => Micros;
}

/**
 * Turns voices into OSC messages by templates, each message a packet of its own.
 *
 * The off of a voice can speak of all that its on did. Silence sends the off of every voice that
 * still sounds, and then its own message, with the same lead: sent plainly it would overtake notes
 * that wait at the receiver, and they would begin after it.
 *
 * @param options.ahead bundles with time tags; null: plain messages, to be acted on at once
 * @throws TemplateError for a template that cannot be read
 */
export function oscEncoder(options: {
  readonly seats: readonly SeatSound[];
  readonly messages: OscMessages;
  readonly ahead: Ahead | null;
}): Stage<OscState, VoiceEvent, OscOut> {
  const { ahead } = options;
  const messages = compileMessages(options.messages, options.seats);

  function pack(t: Micros, message: OscMessage): OscOut {
    const packet = ahead
      ? encodeOsc({ at: oscTimeTag(ahead.toUnix(t) + ahead.by), packets: [message] })
      : encodeOsc(message);
    return { type: 'osc', t, packet };
  }

  function step(state: OscState, event: VoiceEvent | Wake): Outcome<OscState, OscOut> {
    let out: readonly OscOut[] = NOTHING;
    switch (event.type) {
      case 'on':
        state.set(event.voice, event);
        out = [pack(event.t, messages.on(event))];
        break;
      case 'off': {
        const on = state.get(event.voice);
        if (on && state.delete(event.voice)) out = [pack(event.t, messages.off(on))];
        break;
      }
      case 'silence': {
        const offs = [...state.values()].map(messages.off);
        out = [...offs, messages.silence].map((message) => pack(event.t, message));
        state.clear();
        break;
      }
      case 'wake':
        break;
    }
    return { state, out, wake: NEVER };
  }

  return { name: 'osc', begin: () => new Map(), step };
}
