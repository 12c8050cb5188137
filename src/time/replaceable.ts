import type { Reset, Timed, Wake } from './events.js';
import { NEVER, type Micros } from './micros.js';
import type { AnyStage, Outcome, Stage } from './stage.js';

/** What a replacement asks for. */
export interface Replacement<Plan> {
  readonly plan: Plan;
  /** The new stage goes on with the old one's state: nothing that is held ends. */
  readonly keeps: boolean;
  /** All the same, what is held ends first, by a reset. */
  readonly ends?: boolean;
}

export interface ReplaceableState<Event extends Timed, Out, Plan> {
  plan: Plan;
  stage: AnyStage<Event, Out>;
  inner: unknown;
  wake: Micros;
}

/**
 * A stage made of a plan that events may change while it runs.
 *
 * @param replace the replacement that an event asks for; null where it is for the stage itself
 * @param told what is put out as the replacement takes effect
 */
export function replaceable<Event extends Timed, Out extends Timed, Plan>(
  name: string,
  plan: Plan,
  make: (plan: Plan) => AnyStage<Event, Out>,
  replace: (plan: Plan, event: Event) => Replacement<Plan> | null,
  told: (plan: Plan, t: Micros) => readonly Out[],
): Stage<ReplaceableState<Event, Out, Plan>, Event | Reset, Out> {
  function fresh(own: Plan): ReplaceableState<Event, Out, Plan> {
    const stage = make(own);
    return { plan: own, stage, inner: stage.begin(), wake: NEVER };
  }

  function run(
    state: ReplaceableState<Event, Out, Plan>,
    event: Event | Reset | Wake,
  ): readonly Out[] {
    const outcome: Outcome<unknown, Out> = state.stage.step(state.inner, event as Event | Wake);
    state.inner = outcome.state;
    state.wake = outcome.wake;
    return outcome.out;
  }

  return {
    name,
    begin: () => fresh(plan),
    renew: (state) => fresh(state.plan),
    step(state, event) {
      const wanted = isEvent<Event>(event) ? replace(state.plan, event) : null;
      if (!wanted) {
        const out = run(state, event);
        return { state, out, wake: state.wake };
      }
      const { t } = event;
      if (wanted.keeps) {
        // Wake-ups that are due are the old stage's: they are handled before the new one begins.
        const due = state.wake <= t ? run(state, { type: 'wake', t }) : [];
        const over = wanted.ends ? run(state, { type: 'reset', t, why: 'reload' }) : [];
        state.plan = wanted.plan;
        state.stage = make(wanted.plan);
        return { state, out: [...due, ...over, ...told(wanted.plan, t)], wake: state.wake };
      }
      const ended = run(state, { type: 'reset', t, why: 'reload' });
      const next = fresh(wanted.plan);
      return { state: next, out: [...ended, ...told(wanted.plan, t)], wake: next.wake };
    },
  };
}

function isEvent<Event extends Timed>(event: Event | Reset | Wake): event is Event {
  return (event as { type?: unknown }).type !== 'wake';
}
