import type { Timed } from '../../src/time/events.js';
import { NEVER } from '../../src/time/micros.js';
import type { AnyStage } from '../../src/time/stage.js';

/**
 * Runs events through one stage with its wake-ups in between, as the adapter does, and on until it
 * asks for no more (or `until`).
 */
export function runStage<E extends Timed, O>(
  stage: AnyStage<E, O>,
  events: Iterable<E>,
  until = NEVER,
): O[] {
  const out: O[] = [];
  let state: unknown = stage.begin();
  let wake = NEVER;
  const step = (event: E | { type: 'wake'; t: number }): void => {
    const outcome = stage.step(state, event);
    state = outcome.state;
    wake = outcome.wake;
    out.push(...outcome.out);
  };
  const settle = (t: number): void => {
    while (wake <= t && wake !== NEVER) step({ type: 'wake', t: wake });
  };
  for (const event of events) {
    settle(event.t);
    step(event);
  }
  settle(until);
  return out;
}
