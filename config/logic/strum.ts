/*
 * A strum: touching any pluck pad sounds all strings, one after the other, as a hand that sweeps over
 * them. Each string sounds at the fret that is held on it, or open.
 *
 * Try it: change SPREAD below and save the file. The next strum has it already, nobody has to stop.
 */
import type { Answer, LogicEvent, NoteOut, Setup } from './contract.js';

/** From one string to the next, in microseconds: 18_000 is 18 ms. Try 60_000. */
const SPREAD = 18_000;
/** Each string is so much softer than the one before it. With 1 all are alike. */
const FADE = 0.93;

/** All that has to be remembered from one event to the next. */
interface State {
  /** For each string, the frets that are held on it. */
  readonly held: Set<number>[];
  /** For each string, the fret that it sounds at and when it has rung out; null where it is silent. */
  readonly ringing: ({ fret: number; until: number } | null)[];
  /** The strings that the sweep has yet to reach, the next one first. */
  sweep: { at: number; string: number; strength: number }[];
}

/** Called as the seat begins, and after everything was silenced. */
export function begin({ strings }: Setup): State {
  return {
    held: strings.map(() => new Set()),
    ringing: strings.map(() => null),
    sweep: [],
  };
}

/** Called for everything that happens on the pads, and when a time comes that was asked for. */
export function step(state: State, event: LogicEvent, setup: Setup): Answer<State> {
  const out: NoteOut[] = [];
  // A wake is about no pad; everything else is.
  const pad = event.type === 'wake' ? null : setup.pads[event.pad];

  if (pad?.part === 'fret') {
    const held = state.held[pad.string]!;
    if (event.type === 'onset' || event.type === 'firm') held.add(pad.fret);
    // A finger that is loose is on its way off, so it stops the string no longer.
    if (event.type === 'loose' || event.type === 'lift') held.delete(pad.fret);
    // The string falls silent when the fret that it sounds at is let go.
    if (event.type === 'lift' && state.ringing[pad.string]?.fret === pad.fret) {
      state.ringing[pad.string] = null;
      out.push({ type: 'off', string: pad.string });
    }
  }

  // The strike comes right after the onset of a touch, and tells how hard it was.
  if (pad?.part === 'pluck' && event.type === 'strike') {
    state.sweep = sweepFrom(pad.string, setup.strings.length).map((string, i) => ({
      at: event.t + i * SPREAD,
      string,
      strength: event.strength * FADE ** i,
    }));
  }

  // Strings that the sweep has reached by now. The first one is reached at once.
  while (state.sweep[0] && state.sweep[0].at <= event.t) {
    const { string, strength } = state.sweep.shift()!;
    const fret = Math.max(0, ...state.held[string]!);
    const note = setup.strings[string]!.note + fret;
    state.ringing[string] = { fret, until: event.t + setup.rules.strings.ring };
    out.push({ type: 'on', string, note, fret, strength });
  }

  // Strings that have rung out.
  state.ringing.forEach((one, string) => {
    if (!one || one.until > event.t) return;
    state.ringing[string] = null;
    out.push({ type: 'off', string });
  });

  // Whatever comes next: the sweep's next string, or the end of one that rings.
  const times = state.ringing.flatMap((one) => (one ? [one.until] : []));
  if (state.sweep[0]) times.push(state.sweep[0].at);
  return { state, out, wake: times.length > 0 ? Math.min(...times) : null };
}

/** All strings in the order of the sweep: from the near end of the instrument over to the other. */
function sweepFrom(string: number, count: number): number[] {
  const order = Array.from({ length: count }, (_, i) => i);
  return string < count / 2 ? order : order.reverse();
}
