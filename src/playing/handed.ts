import { NEVER, type Micros } from '../time/micros.js';
import { NOTHING, type Outcome, type Stage } from '../time/stage.js';
import type { Played, PlayedOn, WireEvent } from '../wire/scan.js';
import { HOWS, type NoteEvent, type NoteOff } from './note.js';

export interface HandedState {
  /** What sounds, by the voice that the other computer gave it. */
  readonly sounding: Map<number, PlayedOn>;
  /** An end that waits for the note which carries it on: that one may have been lost on the way. */
  slur: NoteOff | null;
}

/**
 * notes of another computer → notes: for a seat whose readings were played there. It keeps to what is
 * promised of notes, whatever comes: a string is silent before its next note, every note ends once, and a
 * slur is carried on by the very next event.
 */
export function handed(): Stage<HandedState, WireEvent, NoteEvent> {
  function end({ sounding }: HandedState, { voice, note, string }: PlayedOn, t: Micros): NoteOff {
    sounding.delete(voice);
    return { type: 'off', t, note, string, slurred: false };
  }

  function begin(state: HandedState, on: PlayedOn): NoteEvent[] {
    if (state.sounding.has(on.voice)) return [];
    const { t, note, velocity, strength, string, fret } = on;
    const others = [...state.sounding.values()].filter((one) => one.string === string);
    const out: NoteEvent[] = others.map((one) => end(state, one, t));
    state.sounding.set(on.voice, on);
    const how = HOWS.find((one) => one === on.how) ?? 'pluck';
    out.push({ type: 'on', t, note, velocity, strength, string, fret, how });
    return out;
  }

  function onPlayed(state: HandedState, event: Played): NoteEvent[] {
    if (event.on) return begin(state, event);
    const ending = state.sounding.get(event.voice);
    if (!ending) return [];
    const off = end(state, ending, event.t);
    if (!event.slurred) return [off];
    state.slur = off;
    return [];
  }

  /** The end that waited, with what came next, at `now`. */
  function withSlur({ t, string, ...off }: NoteOff, now: Micros, next: NoteEvent[]): NoteEvent[] {
    const [on] = next;
    const carried = on?.type === 'on' && on.string === string && on.t === t;
    return [{ ...off, string, t: carried ? t : now, slurred: carried }, ...next];
  }

  return {
    name: 'handed',
    begin: () => ({ sounding: new Map(), slur: null }),
    step(state, event): Outcome<HandedState, NoteEvent> {
      const waited = state.slur;
      state.slur = null;
      let out: NoteEvent[] = [];
      switch (event.type) {
        case 'played':
          out = onPlayed(state, event);
          break;
        case 'reset':
          out = [...[...state.sounding.values()].map((one) => end(state, one, event.t)), event];
          break;
        case 'scan':
        case 'wake':
          break;
      }
      if (waited) out = withSlur(waited, event.t, out);
      return { state, out: out.length === 0 ? NOTHING : out, wake: wakeOf(state) };
    },
  };
}

function wakeOf({ slur }: HandedState): Micros {
  return slur ? slur.t + 1 : NEVER;
}
