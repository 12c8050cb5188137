import type { Rules } from '../instrument/types.js';
import type { NoteEvent, NoteOff, NoteOn } from '../playing/note.js';
import type { Seated } from '../time/alongside.js';
import type { Reset } from '../time/events.js';
import { NEVER } from '../time/micros.js';
import { NOTHING, type Outcome, type Stage } from '../time/stage.js';
import { yields, type Contender } from './priority.js';
import type { VoiceEvent } from './voice.js';

interface Sounding extends Contender {
  readonly voice: number;
  readonly string: number;
}

export interface VoicesState {
  /** What sounds, by seat. */
  readonly seats: Sounding[][];
  lastVoice: number;
}

/**
 * notes → voices: gives each note its voice, and keeps every seat to its limit of voices.
 *
 * A note that yields ends at once; one that never won a place does not sound. Either way its own
 * off is passed over later.
 */
export function voices(
  limits: readonly Rules['voices'][],
): Stage<VoicesState, Seated<NoteEvent | Reset>, VoiceEvent> {
  function end(seat: number, one: Sounding, t: number, slurred: boolean): VoiceEvent {
    const { voice, note, string } = one;
    return { type: 'off', t, voice, seat, note, string, slurred };
  }

  function onNote(state: VoicesState, seat: number, note: NoteOn, out: VoiceEvent[]): void {
    const sounding = state.seats[seat]!;
    const limit = limits[seat]!;
    const voice = state.lastVoice + 1;
    const { t, velocity, strength, string, fret, how } = note;
    const own: Sounding = { voice, order: voice, note: note.note, strength, string };
    if (sounding.length >= limit.most) {
      const least = yields([...sounding, own], limit.keep);
      const loser = sounding[least];
      if (!loser) return;
      sounding.splice(least, 1);
      out.push(end(seat, loser, note.t, false));
    }
    state.lastVoice = voice;
    sounding.push(own);
    out.push({
      type: 'on',
      t,
      voice,
      seat,
      note: note.note,
      velocity,
      strength,
      string,
      fret,
      how,
    });
  }

  function offNote(state: VoicesState, seat: number, note: NoteOff, out: VoiceEvent[]): void {
    const sounding = state.seats[seat]!;
    const index = sounding.findIndex((one) => one.string === note.string);
    if (index < 0) return;
    const [one] = sounding.splice(index, 1);
    out.push(end(seat, one!, note.t, note.slurred));
  }

  function onReset(state: VoicesState, seat: number, reset: Reset, out: VoiceEvent[]): void {
    // A stage that threw has not ended its notes itself.
    for (const one of state.seats[seat]!.splice(0)) out.push(end(seat, one, reset.t, false));
    const quiet = state.seats.every((sounding) => sounding.length === 0);
    if (quiet && (reset.why === 'silence' || reset.why === 'end')) {
      out.push({ type: 'silence', t: reset.t });
    }
  }

  return {
    name: 'voices',
    begin: () => ({ seats: limits.map(() => []), lastVoice: 0 }),
    step(state, event): Outcome<VoicesState, VoiceEvent> {
      if (event.type === 'wake') return { state, out: NOTHING, wake: NEVER };
      const out: VoiceEvent[] = [];
      const { seat, event: note } = event;
      switch (note.type) {
        case 'on':
          onNote(state, seat, note, out);
          break;
        case 'off':
          offNote(state, seat, note, out);
          break;
        case 'reset':
          onReset(state, seat, note, out);
          break;
      }
      return { state, out, wake: NEVER };
    },
  };
}
