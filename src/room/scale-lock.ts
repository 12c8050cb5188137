import type { PitchClasses } from '../instrument/types.js';
import type { NoteOff, NoteOn, SeatEvent } from '../playing/note.js';
import type { Seated } from '../time/alongside.js';
import { NEVER } from '../time/micros.js';
import { NOTHING, type Stage } from '../time/stage.js';
import type { Change } from './change.js';
import type { Leave, RoomJoin } from './seating.js';

type Event = Seated<SeatEvent> | Change | RoomJoin | Leave;

export interface ScaleState {
  /** Where each MIDI note goes; null: every note is played as it is. */
  target: Uint8Array | null;
  /** By slot: it plays percussion keys, which are no pitches. */
  readonly drums: boolean[];
  /** By slot: where the sounding note of each string went, for those that were moved. */
  readonly moved: (number | undefined)[][];
}

const NOTES = 128;

/**
 * The nearest note of a scale, and of two as near the lower one.
 *
 * @param note MIDI note number, 0 to 127, as is the answer
 * @param scale at least one pitch class
 * @example nearestInScale(61, [0, 2, 4, 5, 7, 9, 11]) // 60
 */
export function nearestInScale(note: number, scale: PitchClasses): number {
  for (let apart = 0; apart < NOTES; apart++) {
    const low = note - apart;
    if (low >= 0 && scale.includes(low % 12)) return low;
    const high = note + apart;
    if (high < NOTES && scale.includes(high % 12)) return high;
  }
  return note;
}

/**
 * notes → notes: moves those outside the room's scale to the nearest one inside; drums stay.
 *
 * A note ends at the pitch at which it began, whatever the scale has become meanwhile.
 *
 * @param drums by slot as it begins: it plays percussion keys, which are no pitches
 */
export function scaleLock(
  drums: readonly boolean[],
  scale: PitchClasses | null,
): Stage<ScaleState, Event, Event> {
  function on(state: ScaleState, target: Uint8Array, seat: number, note: NoteOn): NoteOn {
    const moved = target[note.note]!;
    if (moved === note.note) return note;
    state.moved[seat]![note.string] = moved;
    return { ...note, note: moved };
  }

  function off(state: ScaleState, seat: number, note: NoteOff): NoteOff {
    const moved = state.moved[seat]![note.string];
    if (moved === undefined) return note;
    state.moved[seat]![note.string] = undefined;
    return { ...note, note: moved };
  }

  function move(state: ScaleState, seat: number, note: SeatEvent): SeatEvent {
    switch (note.type) {
      case 'on':
        return state.target && !state.drums[seat] ? on(state, state.target, seat, note) : note;
      case 'off':
        return off(state, seat, note);
      case 'limits':
        return note;
      case 'reset':
        state.moved[seat]!.length = 0;
        return note;
    }
  }

  return {
    name: 'scale lock',
    begin: () => ({ target: targetOf(scale), drums: [...drums], moved: drums.map(() => []) }),
    step(state, event) {
      if (event.type === 'wake') return { state, out: NOTHING, wake: NEVER };
      if (event.type === 'seated') {
        const note = move(state, event.seat, event.event);
        const out = note === event.event ? event : { ...event, event: note };
        return { state, out: [out], wake: NEVER };
      }
      if (event.type === 'room-change' && event.scale !== undefined) {
        state.target = targetOf(event.scale);
      } else if (event.type === 'join') {
        state.drums[event.seat] = event.of.drums;
        state.moved[event.seat] = [];
      }
      return { state, out: [event], wake: NEVER };
    },
  };
}

function targetOf(scale: PitchClasses | null): Uint8Array | null {
  return scale && Uint8Array.from({ length: NOTES }, (_, note) => nearestInScale(note, scale));
}
