/*
 * An arpeggio: what is held sounds by itself, one note after the other from low to high, in a steady
 * pulse, for as long as anything is held. For frets on strings (which need no pluck then) and for keys.
 *
 * Try it: change PULSE or the order in `next` and save the file. It goes on with that from the next touch.
 */
import type { Answer, LogicEvent, NoteOut, Pad, Setup } from './contract.js';

/** From one note to the next, in microseconds: 150_000 is 150 ms, which makes 400 notes a minute. */
const PULSE = 150_000;
/** How much of its pulse a note sounds: with 0.3 they are short and dry, with 1 they run together. */
const LENGTH = 0.8;
/** How loud the notes are until a touch has told how hard it was. */
const USUAL = 0.6;

/** All that has to be remembered from one event to the next. */
interface State {
  /** What is held, by the number of its pad. */
  readonly held: Map<number, Pad>;
  /** When the next note is due; null while nothing is held. */
  beat: number | null;
  /** The string of the note that sounds, and when it ends; null in between. */
  sounding: { string: number; until: number } | null;
  /** The note that was played last, from which the arpeggio goes on upwards. */
  last: number;
  /** How hard the last touch was. */
  strength: number;
}

/** Called as the seat begins, and after everything was silenced. */
export function begin(): State {
  return { held: new Map(), beat: null, sounding: null, last: -1, strength: USUAL };
}

/** Called for everything that happens on the pads, and when a time comes that was asked for. */
export function step(state: State, event: LogicEvent, setup: Setup): Answer<State> {
  const out: NoteOut[] = [];

  if (event.type !== 'wake') touched(state, event, setup);

  if (state.sounding && state.sounding.until <= event.t) {
    out.push({ type: 'off', string: state.sounding.string });
    state.sounding = null;
  }

  if (state.beat !== null && state.beat <= event.t) {
    const pad = next(state);
    if (pad?.note === undefined || pad.note === null) {
      // All fingers have left: the pulse stops, and the next touch starts it again.
      state.beat = null;
      state.last = -1;
    } else {
      if (state.sounding) out.push({ type: 'off', string: state.sounding.string });
      const { string, note, fret } = pad;
      out.push({ type: 'on', string, note, fret, strength: state.strength });
      state.sounding = { string, until: event.t + Math.round(PULSE * LENGTH) };
      state.last = note;
      // Counted from the beat and not from now, so that the pulse stays steady for hours.
      state.beat += PULSE;
    }
  }

  const times = [state.beat, state.sounding?.until].filter((at) => typeof at === 'number');
  return { state, out, wake: times.length > 0 ? Math.min(...times) : null };
}

/** Remembers what is held, and how hard it was touched. */
function touched(
  state: State,
  event: Exclude<LogicEvent, { type: 'wake' }>,
  { pads }: Setup,
): void {
  const pad = pads[event.pad];
  if (pad?.part !== 'fret' && pad?.part !== 'key') return;
  if (event.type === 'onset') {
    state.held.set(event.pad, pad);
    // The first finger starts the pulse, and its note sounds at once.
    state.beat ??= event.t;
  }
  if (event.type === 'strike') state.strength = event.strength;
  if (event.type === 'lift') state.held.delete(event.pad);
}

/** The next higher one of what is held, and after the highest the lowest again. */
function next({ held, last }: State): Pad | undefined {
  const upwards = [...held.values()].sort((a, b) => (a.note ?? 0) - (b.note ?? 0));
  return upwards.find(({ note }) => (note ?? 0) > last) ?? upwards[0];
}
