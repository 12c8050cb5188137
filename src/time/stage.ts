import type { Timed, Wake } from './events.js';
import type { Micros } from './micros.js';

/** What a stage answers: its next state, what it puts out, and when it wants to be woken. */
export interface Outcome<State, Out> {
  readonly state: State;
  readonly out: readonly Out[];
  /** Later than the event's own time, or NEVER. A later answer replaces an earlier request. */
  readonly wake: Micros;
}

/**
 * One pure step of the way: `(state, event) → (state, outputs, wake time)`.
 *
 * The same state and event always give the same outcome. A stage never asks for the time and never
 * sets a timer. The state handed in is given away: the stage may reuse it for the state it returns,
 * so whoever calls keeps only the returned one. What is put out carries the event's time.
 */
export interface Stage<State, Event extends Timed, Out> {
  readonly name: string;
  begin(): State;
  /** Where it did not begin as it is now: begins again, as it is now. Asked for after a fault. */
  renew?(state: State): State;
  step(state: State, event: Event | Wake): Outcome<State, Out>;
}

/** A stage whose state is nobody else's business. */
// eslint-disable-next-line @typescript-eslint/no-explicit-any
export type AnyStage<Event extends Timed, Out> = Stage<any, Event, Out>;

/** The empty list of outputs, shared so that the common answer allocates nothing. */
export const NOTHING: readonly never[] = Object.freeze([]);

/** A stage that broke the contract, named so that its maker can be told. */
export class StageFault extends Error {
  override readonly name = 'StageFault';
}

/** Refuses a wake-up that is not in the future: it would turn the clock's loop into an endless one. */
export function requireLater(stage: string, wake: Micros, t: Micros): Micros {
  if (wake > t) return wake;
  throw new StageFault(
    `stage "${stage}" asked to be woken at ${String(wake)} µs while handling ${String(t)} µs: ` +
      'a wake-up must be later than the event it answers',
  );
}
