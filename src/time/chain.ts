import type { Timed, Wake } from './events.js';
import { NEVER, type Micros } from './micros.js';
import { requireLater, type AnyStage, type Stage } from './stage.js';

/** The states of the stages in a chain, and when each wants to be woken. */
export interface ChainState {
  readonly states: unknown[];
  readonly wakes: Float64Array;
}

/**
 * Puts stages one behind the other and makes one stage of them.
 *
 * Before an event is handled every wake-up due at or before its time is, in the order of time; of
 * two due at once the one further down the way goes first, since what the upper one puts out is an
 * event to the lower one.
 */
export function chain<A extends Timed, B extends Timed, Out>(
  name: string,
  first: AnyStage<A, B>,
  last: AnyStage<B, Out>,
): Stage<ChainState, A, Out>;
export function chain<A extends Timed, B extends Timed, C extends Timed, Out>(
  name: string,
  first: AnyStage<A, B>,
  second: AnyStage<B, C>,
  last: AnyStage<C, Out>,
): Stage<ChainState, A, Out>;
export function chain<A extends Timed, Out>(
  name: string,
  ...stages: AnyStage<Timed, Timed>[]
): Stage<ChainState, A, Out> {
  const count = stages.length;

  function feed(state: ChainState, index: number, event: Timed, out: Out[]): void {
    if (index === count) {
      out.push(event as Out);
      return;
    }
    const stage = stages[index]!;
    const outcome = stage.step(state.states[index], event);
    state.states[index] = outcome.state;
    state.wakes[index] = requireLater(stage.name, outcome.wake, event.t);
    for (const next of outcome.out) feed(state, index + 1, next, out);
  }

  function settle(state: ChainState, until: Micros, out: Out[]): void {
    for (;;) {
      let due = NEVER;
      let index = -1;
      for (let i = 0; i < count; i++) {
        const wake = state.wakes[i]!;
        if (wake <= due) {
          due = wake;
          index = i;
        }
      }
      if (due > until || due === NEVER) return;
      const wake: Wake = { type: 'wake', t: due };
      feed(state, index, wake, out);
    }
  }

  return {
    name,
    begin: () => ({
      states: stages.map((stage) => stage.begin() as unknown),
      wakes: new Float64Array(count).fill(NEVER),
    }),
    step(state, event) {
      const out: Out[] = [];
      settle(state, event.t, out);
      if (!isWake(event)) feed(state, 0, event, out);
      let wake = NEVER;
      for (const own of state.wakes) if (own < wake) wake = own;
      return { state, out, wake };
    },
  };
}

function isWake(event: Timed): event is Wake {
  return (event as { type?: unknown }).type === 'wake';
}
