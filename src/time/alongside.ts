import type { Reset, Timed, Wake } from './events.js';
import { NEVER, type Micros } from './micros.js';
import { requireLater, type AnyStage, type Outcome, type Stage } from './stage.js';

/** An event of one seat: `seat` is its slot, which it keeps for as long as it plays. */
export interface Seated<Event extends Timed> extends Timed {
  readonly type: 'seated';
  readonly seat: number;
  readonly event: Event;
}

/** An event by which a seat joins or leaves. */
export interface Seating<Event extends Timed, Out, Told> {
  /** The slot, 0 or more; where a seat plays there already, that one leaves first. */
  readonly seat: number;
  /** What plays there from now on; null: nothing does. */
  readonly stage: AnyStage<Event, Out> | null;
  /** What is put out as it takes effect, after all that the seat that leaves has still to say. */
  readonly told: Told;
}

export interface AlongsideState<Event extends Timed, Out> {
  /** By slot; null where nobody plays. */
  readonly stages: (AnyStage<Event, Out> | null)[];
  readonly states: unknown[];
  readonly wakes: Micros[];
}

/** Told when a seat's own stage threw. The seat has begun again by then; the others went on. */
export type OnFault = (seat: number, t: Micros, error: unknown) => void;

/**
 * Runs one stage a seat beside the others, as one stage, so that one clock serves the whole room and
 * wake-ups of all seats are handled in the order of time (of two at once the lower slot's first).
 *
 * What is no seat's event goes past the stages, in its place among what they put out. Events of a slot
 * in which nobody plays are dropped.
 *
 * A stage that throws ends only what its own seat holds: the seat begins again and a reset goes out. A
 * seat that leaves ends what it holds by a reset, the last that is heard of it.
 *
 * @param stages by slot, those that play as it begins
 * @param seating what joins or leaves by an event that is no seat's; null: nothing does
 */
export function alongside<
  Event extends Timed,
  Out extends Timed,
  Other extends Timed & { readonly type: string } = never,
  Told extends Timed & { readonly type: string } = Other,
>(
  name: string,
  stages: readonly (AnyStage<Event | Reset, Out> | null)[],
  onFault: OnFault,
  seating: (event: Other) => Seating<Event | Reset, Out, Told> | null = () => null,
): Stage<
  AlongsideState<Event | Reset, Out>,
  Seated<Event> | Other,
  Seated<Out | Reset> | Other | Told
> {
  type State = AlongsideState<Event | Reset, Out>;

  function run(
    state: State,
    seat: number,
    event: Event | Reset | Wake,
    out: (Seated<Out | Reset> | Other | Told)[],
  ): void {
    const stage = state.stages[seat];
    if (!stage) return;
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

  function settle(state: State, until: Micros, out: (Seated<Out | Reset> | Other | Told)[]): void {
    for (;;) {
      let due = NEVER;
      let seat = -1;
      for (let i = 0; i < state.wakes.length; i++) {
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

  function seat(
    state: State,
    t: Micros,
    { seat: slot, stage, told }: Seating<Event | Reset, Out, Told>,
    out: (Seated<Out | Reset> | Other | Told)[],
  ): void {
    run(state, slot, { type: 'reset', t, why: 'reload' }, out);
    for (let i = state.stages.length; i < slot; i++) clear(state, i);
    clear(state, slot);
    if (stage) {
      state.stages[slot] = stage;
      state.states[slot] = stage.begin() as unknown;
    }
    out.push(told);
  }

  function clear(state: State, slot: number): void {
    state.stages[slot] = null;
    state.states[slot] = undefined;
    state.wakes[slot] = NEVER;
  }

  return {
    name,
    begin: () => ({
      stages: [...stages],
      states: stages.map((stage) => stage?.begin() as unknown),
      wakes: stages.map(() => NEVER),
    }),
    step(state, event) {
      const out: (Seated<Out | Reset> | Other | Told)[] = [];
      settle(state, event.t, out);
      if (event.type === 'seated') {
        const { seat: slot, event: seatEvent } = event as Seated<Event>;
        run(state, slot, seatEvent, out);
      } else if (event.type !== 'wake') {
        const seats = seating(event as Other);
        if (seats) seat(state, event.t, seats, out);
        else out.push(event as Other);
      }
      let wake = NEVER;
      for (const next of state.wakes) if (next < wake) wake = next;
      return { state, out, wake };
    },
  };
}
