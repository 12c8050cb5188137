import type { Wake } from '../time/events.js';
import { NEVER, SECOND, type Micros } from '../time/micros.js';
import { NOTHING, type Outcome, type Stage } from '../time/stage.js';
import { WIRE_TABLE, type WireSignal, type WireState } from './table.js';
import type { Answer, Stretch, WireEnd, WireNotice, WirePlan } from './notice.js';
import type { WatchEvent } from './watch.js';

/** What was learned so far. Changed in place by the stage. */
export interface WiringState {
  state: WireState;
  /** In the order in which the pads are asked for. */
  readonly answers: Answer[];
  /** The input that is touched, or null. */
  touching: number | null;
  /** The touch that is on has had its meaning already. */
  spent: boolean;
  due: Micros;
  readonly unclear: Stretch[];
  onlyChanges: boolean;
}

/** Nobody waits longer than this without being told what to do. */
const REMIND: Micros = 10 * SECOND;
const REMIND_TOUCHED: Micros = 1 * SECOND;

/**
 * touched inputs → the wiring: asks for one pad after the other, takes the input that was touched for
 * it, and takes back what was a mistake. Ends with a notice `kept` or `left`.
 */
export function learnWiring(plan: WirePlan): Stage<WiringState, WatchEvent, WireNotice> {
  const { order, grace, anyHold, reminders } = plan;
  const waits: Partial<Record<WireState, Micros>> = reminders
    ? { asking: REMIND, touched: REMIND_TOUCHED, closing: grace }
    : { closing: grace };

  const padOf = (state: WiringState, input: number): number | null =>
    state.answers.find((answer) => answer.input === input)?.pad ?? null;
  const lastInput = ({ answers }: WiringState): number | null =>
    answers.findLast(({ input }) => input !== null)?.input ?? null;

  function after({ answers, touching }: WiringState): WireState {
    if (answers.length < order.length) return touching === null ? 'asking' : 'touched';
    return touching === null ? 'closing' : 'late';
  }

  function askedOf({ state, answers }: WiringState): WireNotice['ask'] {
    if (state !== 'asking' && state !== 'touched') return null;
    return { pad: order[answers.length]!, number: answers.length + 1, of: order.length };
  }

  function letGo(state: WiringState): void {
    state.touching = null;
    state.spent = false;
  }

  /** Which signal an event is, or null for one that means nothing here. Notes what is touched. */
  function signalOf(state: WiringState, event: WatchEvent | Wake): WireSignal | null {
    switch (event.type) {
      case 'pressed':
        state.touching = event.input;
        state.spent = false;
        return 'pressed';
      case 'held':
        return !state.spent && (anyHold || event.input === lastInput(state)) ? 'hold' : null;
      case 'touched': {
        const { spent } = state;
        letGo(state);
        if (spent) return 'over';
        return padOf(state, event.input) === null ? 'fresh' : 'again';
      }
      case 'unclear':
      case 'stuck':
        letGo(state);
        state.unclear.push({ from: event.from, to: event.t });
        return event.type;
      case 'freed':
        letGo(state);
        return 'over';
      case 'key':
        if (event.key !== 'back' || state.touching === null) return event.key;
        return state.spent || padOf(state, state.touching) !== null ? 'back' : 'drop';
      case 'reset':
        letGo(state);
        return event.why === 'lost' ? 'lost' : 'over';
      case 'rested':
        state.onlyChanges = event.onlyChanges;
        return 'rested';
      case 'wake':
        return event.t >= state.due ? 'waited' : null;
    }
  }

  function takeBack(state: WiringState, skipsToo: boolean): Answer | null {
    let answer = state.answers.pop() ?? null;
    while (skipsToo && answer?.input === null) answer = state.answers.pop() ?? null;
    return answer;
  }

  /** Does what a row says before the state changes; returns what to tell. */
  function act(
    state: WiringState,
    event: WatchEvent | Wake,
    signal: WireSignal,
  ): DistributiveOmit<WireNotice, 't' | 'ask'> | null {
    const pad = order[state.answers.length] ?? -1;
    const input = 'input' in event ? event.input : -1;
    // A key or a hold is what the touch that is on was for.
    if (event.type === 'key' || signal === 'hold') state.spent = state.touching !== null;
    switch (WIRE_TABLE[state.state][signal].act) {
      case 'none':
      case 'wait':
        return null;
      case 'ask':
        return { type: 'ask' };
      case 'wire':
        state.answers.push({ pad, input });
        return { type: 'wired', pad, input };
      case 'skip':
        state.answers.push({ pad, input: null });
        return { type: 'skipped', pad };
      case 'back':
        return { type: 'back', answer: takeBack(state, signal === 'hold') };
      case 'drop':
        return { type: 'dropped', input: state.touching ?? -1 };
      case 'remind':
        return { type: 'remind', touching: state.touching };
      case 'already':
        return { type: 'already', input, pad: padOf(state, input) ?? -1 };
      case 'spare':
        return { type: 'spare', input };
      case 'unclear':
        return { type: 'unclear', inputs: event.type === 'unclear' ? event.inputs : [-1, -1] };
      case 'stuck':
        return { type: 'stuck', input };
      case 'lost':
        return { type: 'lost' };
      case 'keep':
        return endOf(state, 'kept');
      case 'leave':
        return endOf(state, 'left');
    }
  }

  const endOf = ({ answers, unclear, onlyChanges }: WiringState, type: WireEnd['type']) => ({
    type,
    onlyChanges,
    answers: [...answers],
    unclear: [...unclear],
  });

  return {
    name: 'learn wiring',
    begin: () => ({
      state: 'watching' as const,
      answers: [],
      touching: null,
      spent: false,
      due: NEVER,
      unclear: [],
      onlyChanges: false,
    }),
    step(state, event): Outcome<WiringState, WireNotice> {
      const signal = signalOf(state, event);
      if (signal === null) return { state, out: NOTHING, wake: later(state.due, event.t) };
      const before = state.state;
      const row = WIRE_TABLE[before][signal];
      const told = act(state, event, signal);
      state.state = row.to === 'next' ? after(state) : row.to;
      if (row.act === 'remind') state.due = NEVER;
      else if (row.act !== 'none' || state.state !== before) {
        state.due = event.t + (waits[state.state] ?? NEVER);
      }
      const out = told ? [{ ...told, t: event.t, ask: askedOf(state) }] : NOTHING;
      return { state, out, wake: later(state.due, event.t) };
    },
  };
}

/** A wake-up that is due already has been handled. */
const later = (due: Micros, t: Micros): Micros => (due > t ? due : NEVER);

type DistributiveOmit<T, K extends PropertyKey> = T extends unknown ? Omit<T, K> : never;
