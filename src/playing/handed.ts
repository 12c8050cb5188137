import { NEVER, type Micros } from '../time/micros.js';
import { NOTHING, type Outcome, type Stage } from '../time/stage.js';
import type { PlayedOn, WireEvent } from '../wire/scan.js';
import { HOWS, type NoteEvent, type NoteOff } from './note.js';

/** What sounds, by the voice that the other computer gave it. */
export type HandedState = Map<number, PlayedOn>;

/**
 * notes of another computer → notes: for a seat whose readings were played there. It keeps to what is
 * promised of notes, whatever comes: a string is silent before its next note, and every note ends once.
 */
export function handed(): Stage<HandedState, WireEvent, NoteEvent> {
  function end(state: HandedState, { voice, note, string }: PlayedOn, t: Micros): NoteOff {
    state.delete(voice);
    return { type: 'off', t, note, string, slurred: false };
  }

  function begin(state: HandedState, on: PlayedOn): NoteEvent[] {
    if (state.has(on.voice)) return [];
    const { t, note, velocity, strength, string, fret } = on;
    const others = [...state.values()].filter((one) => one.string === string);
    const out: NoteEvent[] = others.map((one) => end(state, one, t));
    state.set(on.voice, on);
    const how = HOWS.find((one) => one === on.how) ?? 'pluck';
    out.push({ type: 'on', t, note, velocity, strength, string, fret, how });
    return out;
  }

  return {
    name: 'handed',
    begin: () => new Map(),
    step(state, event): Outcome<HandedState, NoteEvent> {
      let out: readonly NoteEvent[] = NOTHING;
      switch (event.type) {
        case 'played': {
          const sounding = state.get(event.voice);
          if (event.on) out = begin(state, event);
          else if (sounding) out = [{ ...end(state, sounding, event.t), slurred: event.slurred }];
          break;
        }
        case 'reset':
          out = [...[...state.values()].map((one) => end(state, one, event.t)), event];
          break;
        case 'scan':
        case 'wake':
          break;
      }
      return { state, out, wake: NEVER };
    },
  };
}
