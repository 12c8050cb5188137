import type { Reset, Timed, Wake } from './events.js';
import { NEVER, type Micros } from './micros.js';
import { requireLater, type AnyStage, type Outcome, type Stage } from './stage.js';

/** An event of one seat: `seat` counts from 0 in the order of the room file. */
export interface Seated<Event extends Timed> extends Timed {
  readonly type: 'seated';
  readonly seat: number;
  readonly event: Event;
}

export interface AlongsideState {
  readonly states: unknown[];
  readonly wakes: Float64Array;
}

/** Told when a seat's own stage threw. The seat has begun anew by then; the others went on. */
export type OnFault = (seat: number, t: Micros, error: unknown) => void;

/**
 * Runs one stage a seat beside the others, as one stage, so that one clock serves the whole room and
 * wake-ups of all seats are handled in the order of time (of two at once the lower seat's first).
 *
 * What is no seat's event goes past the stages, in its place among what they put out.
 *
 * A stage that throws ends only what its own seat holds: the seat begins anew and a reset goes out.
 */
export function alongside<
  Event extends Timed,
  Out extends Timed,
  Other extends Timed & { readonly type: string } = never,
>(
  name: string,
  stages: readonly AnyStage<Event, Out>[],
  onFault: OnFault,
): Stage<AlongsideState, Seated<Event> | Other, Seated<Out | Reset> | Other> {
  function run(
    state: AlongsideState,
    seat: number,
    event: Event | Wake,
    out: Seated<Out | Reset>[],
  ): void {
    const stage = stages[seat]!;
    try {
      const outcome: Outcome<unknown, Out> = stage.step(state.states[seat], event);
      state.wakes[seat] = requireLater(stage.name, outcome.wake, event.t);
      state.states[seat] = outcome.state;
      for (const next of outcome.out) out.push({ type: 'seated', t: next.t, seat, event: next });
    } catch (error) {
      state.states[seat] = stage.renew?.(state.states[seat]) ?? stage.begin();
      state.wakes[seat] = NEVER;
      const reset: Reset = { type: 'reset', t: event.t, why: 'fault' };
      out.push({ type: 'seated', t: event.t, seat, event: reset });
      onFault(seat, event.t, error);
    }
  }

  function settle(state: AlongsideState, until: Micros, out: Seated<Out | Reset>[]): void {
    for (;;) {
      let due = NEVER;
      let seat = -1;
      for (let i = 0; i < stages.length; i++) {
        const wake = state.wakes[i]!;
        if (wake < due) {
          due = wake;
          seat = i;
        }
      }
      if (seat < 0 || due > until) return;
      run(state, seat, { type: 'wake', t: due }, out);
    }
  }

  return {
    name,
    begin: () => ({
      states: stages.map((stage) => stage.begin() as unknown),
      wakes: new Float64Array(stages.length).fill(NEVER),
    }),
    step(state, event) {
      const own: Seated<Out | Reset>[] = [];
      const out: (Seated<Out | Reset> | Other)[] = own;
      settle(state, event.t, own);
      if (event.type === 'seated') {
        const { seat, event: seatEvent } = event as Seated<Event>;
        run(state, seat, seatEvent, own);
      } else if (event.type !== 'wake') out.push(event as Other);
      let wake = NEVER;
      for (const next of state.wakes) if (next < wake) wake = next;
      return { state, out, wake };
    },
  };
}
