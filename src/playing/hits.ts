import type { HitsInstrument, Rules } from '../instrument/types.js';
import type { Strike, TouchEvent } from '../pads/touch.js';
import { NEVER, type Micros } from '../time/micros.js';
import type { Outcome, Stage } from '../time/stage.js';
import { HIT_TABLE, type HitSignal, type HitState } from './hits-table.js';
import type { NoteEvent } from './note.js';
import { velocityCurve } from './velocity.js';

export interface HitsState {
  readonly hits: HitState[];
  /** Touches of each drum pad that begin before this are part of the hit before. */
  readonly deafUntil: Float64Array;
  /** When the sound of each is over. */
  readonly dues: Float64Array;
}

/**
 * touches → notes, for drum pads: each touch is a hit, however long it lasts.
 *
 * The mask counts from onset to onset, since the wait for the strength differs from hit to hit.
 */
export function hits(
  instrument: HitsInstrument,
  rules: Pick<Rules, 'hits' | 'velocity'>,
): Stage<HitsState, TouchEvent, NoteEvent> {
  const velocityOf = velocityCurve(rules.velocity);
  const { mask, ring } = rules.hits;
  const hitOfPad: (number | undefined)[] = [];
  instrument.hits.forEach(({ pad }, hit) => (hitOfPad[pad] = hit));

  function signal(
    state: HitsState,
    hit: number,
    what: HitSignal,
    t: Micros,
    out: NoteEvent[],
    strength = 0,
  ): void {
    const before = state.hits[hit]!;
    const row = HIT_TABLE[before][what];
    const { drum: note } = instrument.hits[hit]!;
    state.hits[hit] = row.to;
    if (row.act === 'none') return;
    state.dues[hit] = NEVER;
    if (before !== 'silent') out.push({ type: 'off', t, note, string: hit, slurred: false });
    if (row.act === 'end') return;
    state.dues[hit] = t + Math.max(1, ring);
    const velocity = velocityOf(strength);
    out.push({ type: 'on', t, note, velocity, strength, string: hit, fret: 0, how: 'hit' });
  }

  function struck(state: HitsState, { t, pad, onset, strength }: Strike, out: NoteEvent[]): void {
    const hit = hitOfPad[pad];
    if (hit === undefined) return;
    const deaf = onset < state.deafUntil[hit]!;
    if (!deaf) state.deafUntil[hit] = onset + mask;
    signal(state, hit, deaf ? 'deaf' : 'hit', t, out, strength);
  }

  return {
    name: 'hits',
    begin: () => ({
      hits: instrument.hits.map(() => 'silent'),
      deafUntil: new Float64Array(instrument.hits.length),
      dues: new Float64Array(instrument.hits.length).fill(NEVER),
    }),
    step(state, event): Outcome<HitsState, NoteEvent> {
      const out: NoteEvent[] = [];
      switch (event.type) {
        case 'wake':
          state.dues.forEach((due, hit) => {
            if (due <= event.t) signal(state, hit, 'due', event.t, out);
          });
          break;
        case 'reset':
          state.hits.forEach((_, hit) => {
            signal(state, hit, 'reset', event.t, out);
          });
          state.deafUntil.fill(0);
          out.push(event);
          break;
        case 'strike':
          struck(state, event, out);
          break;
        case 'onset':
        case 'loose':
        case 'firm':
        case 'lift':
          break;
      }
      let wake = NEVER;
      for (const due of state.dues) if (due < wake) wake = due;
      return { state, out, wake };
    },
  };
}
