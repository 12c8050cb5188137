import type { Strike, TouchEvent } from '../../src/pads/touch.js';
import type { NoteEvent } from '../../src/playing/note.js';
import type { Reason } from '../../src/time/events.js';
import type { AnyStage } from '../../src/time/stage.js';
import { runStage } from '../support/run-stage.js';

const MS = 1_000;

/** A touch of a pad as the touches stage tells it: its strength 4 ms after its onset, its lift 24 ms after it let go. */
export function touch(pad: number, from: number, to: number, strength = 0.8): TouchEvent[] {
  return [
    onset(pad, from),
    strike(pad, from + 4, from, strength),
    loose(pad, to),
    lift(pad, to + 24),
  ];
}

export const onset = (pad: number, ms: number): TouchEvent => ({ type: 'onset', t: ms * MS, pad });
export const loose = (pad: number, ms: number): TouchEvent => ({ type: 'loose', t: ms * MS, pad });
export const lift = (pad: number, ms: number): TouchEvent => ({ type: 'lift', t: ms * MS, pad });
export const firm = (pad: number, ms: number): TouchEvent => ({
  type: 'firm',
  t: ms * MS,
  pad,
  level: 0.9,
});
export const reset = (ms: number, why: Reason = 'silence'): TouchEvent => ({
  type: 'reset',
  t: ms * MS,
  why,
});

export function strike(pad: number, ms: number, from: number, strength: number): TouchEvent {
  const told = { pad, onset: from * MS, strength, reach: strength, shown: strength, landing: 0 };
  // Only strings look at more of it.
  return { type: 'strike', t: ms * MS, ...told } as Strike;
}

/** What a stage plays of touches: milliseconds, what, note, and how it began. */
export function played(
  stage: AnyStage<TouchEvent, NoteEvent>,
  ...touches: (TouchEvent | TouchEvent[])[]
): unknown[] {
  const events = touches.flat().sort((a, b) => a.t - b.t);
  return runStage(stage, events, 60_000 * MS).map((event) => {
    const ms = Math.round(event.t / MS);
    if (event.type === 'reset') return [ms, 'reset'];
    if (event.type === 'on') return [ms, 'on', event.note, event.how];
    return [ms, event.slurred ? 'slur' : 'off', event.note];
  });
}
