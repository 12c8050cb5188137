import type { OscMessages } from '../instrument/types.js';
import type { VoiceEvent, VoiceOn } from '../room/voice.js';
import type { Timed, Wake } from '../time/events.js';
import { NEVER, type Micros } from '../time/micros.js';
import { NOTHING, type Outcome, type Stage } from '../time/stage.js';
import { encodeOsc, type OscMessage } from '../wire/osc-codec.js';
import { oscTimeTag } from '../wire/osc-time.js';
import { compileMessages } from './osc-messages.js';
import { addressPart, type SeatNow } from './osc-names.js';
import type { SeatSound } from './seat-sound.js';

/** One OSC packet, as it goes into a datagram. */
export interface OscOut extends Timed {
  readonly type: 'osc';
  readonly packet: Uint8Array;
}

export interface OscState {
  /** What each sounding voice began with, by its number. */
  readonly voices: Map<number, VoiceOn>;
  /** By slot, how each seat sounds now; null where nobody plays. */
  readonly seats: (SeatNow | null)[];
  /** The seats of which a message `mix` has told. */
  readonly told: Set<number>;
}

/** When a receiver should act on a message: this long after its event, by its own clock. */
export interface Ahead {
  readonly by: Micros;
  /** The event's time as microseconds since the start of 1970. */
  readonly toUnix: (t: Micros) => Micros;
}

/**
 * Turns voices into OSC messages by templates, each message a packet of its own.
 *
 * The off of a voice can speak of all that its on did. Where there is a message `mix`, it tells of a
 * seat before its first note and whenever its level, pan or sound changes. Silence sends the off of every voice that
 * still sounds, and then its own message, with the same lead: sent plainly it would overtake notes
 * that wait at the receiver, and they would begin after it.
 *
 * @param options.seats by slot as it begins; null where nobody plays
 * @param options.ahead bundles with time tags; null: plain messages, to be acted on at once
 * @throws TemplateError for a template that cannot be read
 */
export function oscEncoder(options: {
  readonly seats: readonly (SeatSound | null)[];
  readonly messages: OscMessages;
  readonly ahead: Ahead | null;
}): Stage<OscState, VoiceEvent, OscOut> {
  const { ahead } = options;
  const messages = compileMessages(options.messages);

  function pack(t: Micros, message: OscMessage): OscOut {
    const packet = ahead
      ? encodeOsc({ at: oscTimeTag(ahead.toUnix(t) + ahead.by), packets: [message] })
      : encodeOsc(message);
    return { type: 'osc', t, packet };
  }

  function mixOf(state: OscState, t: Micros, now: SeatNow): OscOut[] {
    if (!messages.mix) return [];
    state.told.add(now.seat);
    return [pack(t, messages.mix({ now, on: null }))];
  }

  function step(state: OscState, event: VoiceEvent | Wake): Outcome<OscState, OscOut> {
    let out: readonly OscOut[] = NOTHING;
    const { voices, seats } = state;
    switch (event.type) {
      case 'on': {
        const now = seats[event.seat]!;
        voices.set(event.voice, event);
        out = [pack(event.t, messages.on({ now, on: event }))];
        if (messages.mix && !state.told.has(now.seat)) {
          out = [...mixOf(state, event.t, now), ...out];
        }
        break;
      }
      case 'off': {
        const on = voices.get(event.voice);
        if (on && voices.delete(event.voice)) {
          out = [pack(event.t, messages.off({ now: seats[on.seat]!, on }))];
        }
        break;
      }
      case 'mix': {
        const { seat, level, pan, sound } = event;
        const now = seats[seat];
        if (!now) break;
        const next = { ...now, level, pan, sound };
        seats[seat] = next;
        out = mixOf(state, event.t, next);
        break;
      }
      case 'joined':
        join(state, event.seat, event.sound);
        break;
      case 'left':
        join(state, event.seat, null);
        break;
      case 'silence': {
        const offs = [...voices.values()].map((on) => messages.off({ now: seats[on.seat]!, on }));
        out = [...offs, messages.silence].map((message) => pack(event.t, message));
        voices.clear();
        break;
      }
      case 'wake':
        break;
    }
    return { state, out, wake: NEVER };
  }

  return {
    name: 'osc',
    begin: () => ({
      voices: new Map(),
      seats: seatsNow(options.seats),
      told: new Set(),
    }),
    step,
  };
}

function seatsNow(seats: readonly (SeatSound | null)[]): (SeatNow | null)[] {
  const now: (SeatNow | null)[] = [];
  for (const [seat, sound] of seats.entries()) now.push(sound && seatNow(seat, sound, now));
  return now;
}

/** Two seats whose names would be alike in an address are told apart by a number. */
function seatNow(
  seat: number,
  { name, kind, level, pan, sound }: SeatSound,
  others: readonly (SeatNow | null)[],
): SeatNow {
  const plain = addressPart(name);
  let part = plain;
  const isTaken = (one: SeatNow | null): boolean => one?.part === part && one.seat !== seat;
  for (let i = 2; others.some(isTaken); i++) part = `${plain}_${String(i)}`;
  return { seat, name, part, kind, level, pan, sound };
}

function join({ seats, told }: OscState, seat: number, sound: SeatSound | null): void {
  for (let i = seats.length; i < seat; i++) seats[i] = null;
  seats[seat] = sound && seatNow(seat, sound, seats);
  told.delete(seat);
}
