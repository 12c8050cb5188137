import type { KeysInstrument, Rules } from '../instrument/types.js';
import type { TouchEvent } from '../pads/touch.js';
import { NEVER, type Micros } from '../time/micros.js';
import type { Outcome, Stage } from '../time/stage.js';
import { KEY_TABLE, type KeySignal, type KeyState } from './keys-table.js';
import type { NoteEvent } from './note.js';
import { velocityCurve } from './velocity.js';

export interface KeysState {
  readonly keys: KeyState[];
  /** When the ringing of each key is over. */
  readonly dues: Float64Array;
}

/** touches → notes, for touch keys: each sounds while it is held, and several at once make chords. */
export function keys(
  instrument: KeysInstrument,
  rules: Pick<Rules, 'keys' | 'velocity'>,
): Stage<KeysState, TouchEvent, NoteEvent> {
  const velocityOf = velocityCurve(rules.velocity);
  const ringOn = rules.keys['ring-on'];
  const keyOfPad: (number | undefined)[] = [];
  instrument.keys.forEach(({ pad }, key) => (keyOfPad[pad] = key));

  function signal(
    state: KeysState,
    key: number,
    what: KeySignal,
    t: Micros,
    out: NoteEvent[],
    strength = 0,
  ): void {
    const before = state.keys[key]!;
    const row = KEY_TABLE[before][what];
    const { note } = instrument.keys[key]!;
    state.keys[key] = row.to;
    if (row.act === 'wait') state.dues[key] = t + ringOn;
    if (row.act !== 'end' && row.act !== 'sound') return;
    state.dues[key] = NEVER;
    if (before !== 'silent') out.push({ type: 'off', t, note, string: key, slurred: false });
    if (row.act === 'end') return;
    const velocity = velocityOf(strength);
    out.push({ type: 'on', t, note, velocity, strength, string: key, fret: 0, how: 'press' });
  }

  function touched(
    state: KeysState,
    event: Exclude<TouchEvent, { type: 'reset' }>,
    out: NoteEvent[],
  ): void {
    const key = keyOfPad[event.pad];
    if (key === undefined) return;
    switch (event.type) {
      case 'strike':
        signal(state, key, 'strike', event.t, out, event.strength);
        return;
      case 'lift':
        signal(state, key, ringOn > 0 ? 'rest' : 'lift', event.t, out);
        return;
      case 'onset':
      case 'loose':
      case 'firm':
        return;
    }
  }

  return {
    name: 'keys',
    begin: () => ({
      keys: instrument.keys.map(() => 'silent'),
      dues: new Float64Array(instrument.keys.length).fill(NEVER),
    }),
    step(state, event): Outcome<KeysState, NoteEvent> {
      const out: NoteEvent[] = [];
      switch (event.type) {
        case 'wake':
          state.dues.forEach((due, key) => {
            if (due <= event.t) signal(state, key, 'due', event.t, out);
          });
          break;
        case 'reset':
          state.keys.forEach((_, key) => {
            signal(state, key, 'reset', event.t, out);
          });
          out.push(event);
          break;
        default:
          touched(state, event, out);
      }
      let wake = NEVER;
      for (const due of state.dues) if (due < wake) wake = due;
      return { state, out, wake };
    },
  };
}
