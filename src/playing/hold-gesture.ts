import type { TouchEvent } from '../pads/touch.js';
import { NEVER, type Micros } from '../time/micros.js';
import type { Outcome, Stage } from '../time/stage.js';

/** Pads that mean something when they are held together for so long. */
export interface HoldGesture {
  /** At least one. */
  readonly pads: readonly number[];
  readonly hold: Micros;
}

export interface HoldState {
  readonly held: Set<number>;
  /** When the gesture is complete; NEVER while a pad is missing, or until one was let go after it. */
  due: Micros;
}

/**
 * touches → touches: lets all of them by, and sees when the gesture's pads are held.
 *
 * @param seen called once for each time that they are held long enough, from within the step: it must
 *   not put anything into the way itself
 */
export function holdGesture(
  { pads, hold }: HoldGesture,
  seen: (t: Micros) => void,
): Stage<HoldState, TouchEvent, TouchEvent> {
  const own = new Set(pads);
  return {
    name: 'gesture',
    begin: () => ({ held: new Set(), due: NEVER }),
    step(state, event): Outcome<HoldState, TouchEvent> {
      switch (event.type) {
        case 'wake':
          state.due = NEVER;
          seen(event.t);
          return { state, out: [], wake: NEVER };
        case 'reset':
          state.held.clear();
          state.due = NEVER;
          break;
        case 'onset':
          if (!own.has(event.pad)) break;
          state.held.add(event.pad);
          if (state.held.size === own.size) state.due = event.t + hold;
          break;
        case 'lift':
          if (state.held.delete(event.pad)) state.due = NEVER;
          break;
        default:
          break;
      }
      return { state, out: [event], wake: state.due };
    },
  };
}
