import type { Instrument, Rules } from '../instrument/types.js';
import type { TouchEvent } from '../pads/touch.js';
import type { Reset, Wake } from '../time/events.js';
import { MILLISECOND, NEVER, type Micros } from '../time/micros.js';
import type { Outcome, Stage } from '../time/stage.js';
import type { How, NoteEvent } from './note.js';
import { checkAnswer, type CheckedNote } from './own-logic-answer.js';
import type { LogicEvent } from './own-logic-contract.js';
import { LogicFault, type Logic, type LogicRun } from './own-logic-run.js';
import { setupOf } from './own-logic-setup.js';
import { playing } from './playing.js';
import { velocityCurve } from './velocity.js';

/** Told once when a module fails, after which the built-in logic plays. */
export type OnLogicFault = (t: Micros, fault: LogicFault) => void;

export interface OwnLogicState {
  /** Whose state this is. */
  logic: Logic | null;
  instrument: Instrument;
  /** null: the built-in logic plays. */
  run: LogicRun | null;
  /** What went wrong as it began, until it is told. */
  untold: LogicFault | null;
  failed: boolean;
  /** The built-in logic's. */
  inner: unknown;
  /** The note on each string, of the module's. */
  readonly sounding: Map<number, number>;
}

const HOWS: Readonly<Record<Instrument['kind'], How>> = {
  strings: 'pluck',
  keys: 'press',
  holes: 'blow',
  hits: 'hit',
};

/** A module that asks to be woken without end costs at most a thousand calls a second. */
const SOONEST: Micros = MILLISECOND;

/**
 * touches → notes, by a module of somebody's own, held to what is promised of notes: a string is silent
 * before its next note, every note ends once, all is in range, and a reset ends all.
 *
 * A module that fails (it throws, does not answer in time, or answers what is not allowed) ends its notes,
 * and the built-in logic of the instrument's kind plays on: a seat that falls silent looks like a broken
 * wire, and somebody would look for it with a screwdriver. It is not tried again until its file is saved.
 *
 * A state of another module, or of none, is taken over: what that one let sound ends, and this one begins.
 *
 * @param logic null: the built-in logic
 */
export function ownLogic(
  instrument: Instrument,
  rules: Rules,
  logic: Logic | null,
  onFault: OnLogicFault,
): Stage<OwnLogicState, TouchEvent, NoteEvent> {
  const builtin = playing(instrument, rules);
  const setup = setupOf(instrument, rules);
  const velocityOf = velocityCurve(rules.velocity);

  function begin(): OwnLogicState {
    const state: OwnLogicState = {
      logic,
      instrument,
      run: null,
      untold: null,
      failed: false,
      inner: builtin.begin() as unknown,
      sounding: new Map(),
    };
    try {
      state.run = logic?.begin(setup) ?? null;
    } catch (error) {
      state.untold = faultOf(error);
      state.failed = true;
    }
    return state;
  }

  function end(state: OwnLogicState, string: number, t: Micros, slurred: boolean): NoteEvent[] {
    const note = state.sounding.get(string);
    if (note === undefined) return [];
    state.sounding.delete(string);
    return [{ type: 'off', t, note, string, slurred }];
  }

  function endAll(state: OwnLogicState, t: Micros): NoteEvent[] {
    return [...state.sounding.keys()].flatMap((string) => end(state, string, t, false));
  }

  function howOf(note: number, before: number): How {
    if (instrument.kind === 'holes') return 'finger';
    return note < before ? 'pull' : 'hammer';
  }

  function sound(state: OwnLogicState, one: CheckedNote, t: Micros): NoteEvent[] {
    const { string } = one;
    if (one.type === 'off') return end(state, string, t, false);
    const { note, strength, fret } = one;
    const before = state.sounding.get(string);
    const hasSlurs = instrument.kind === 'strings' || instrument.kind === 'holes';
    const slurred = one.slur && hasSlurs && before !== undefined;
    const ended = end(state, string, t, slurred);
    state.sounding.set(string, note);
    const how = slurred ? howOf(note, before) : HOWS[instrument.kind];
    const velocity = velocityOf(strength);
    return [...ended, { type: 'on', t, note, velocity, strength, string, fret, how }];
  }

  function fail(
    state: OwnLogicState,
    t: Micros,
    fault: LogicFault,
  ): Outcome<OwnLogicState, NoteEvent> {
    const reset: Reset = { type: 'reset', t, why: 'fault' };
    const out = [...endAll(state, t), reset];
    state.run?.end();
    state.run = null;
    state.failed = true;
    onFault(t, fault);
    return { state, out, wake: NEVER };
  }

  function byBuiltin(
    state: OwnLogicState,
    event: TouchEvent | Wake,
  ): Outcome<OwnLogicState, NoteEvent> {
    const outcome: Outcome<unknown, NoteEvent> = builtin.step(state.inner, event);
    state.inner = outcome.state;
    return { state, out: outcome.out, wake: outcome.wake };
  }

  function reset(state: OwnLogicState, run: LogicRun, event: Reset): NoteEvent[] {
    if (event.why === 'end' || event.why === 'reload') {
      run.end();
      state.run = null;
    } else run.again(setup);
    return [...endAll(state, event.t), event];
  }

  /** `run` plays; it may throw a LogicFault. */
  function byRun(
    state: OwnLogicState,
    run: LogicRun,
    event: TouchEvent | Wake,
  ): Outcome<OwnLogicState, NoteEvent> {
    const { t } = event;
    if (event.type === 'reset') return { state, out: reset(state, run, event), wake: NEVER };
    const answer = run.step(event satisfies LogicEvent, setup);
    const checked = checkAnswer(answer, setup, t, logic?.file ?? '');
    const out = checked.out.flatMap((one) => sound(state, one, t));
    const soonest = event.type === 'wake' ? t + SOONEST : 0;
    return { state, out, wake: Math.max(checked.wake, soonest) };
  }

  /** Ends what another module, or none, was playing. */
  function takeOver(old: OwnLogicState, t: Micros): { state: OwnLogicState; out: NoteEvent[] } {
    const ended = endAll(old, t);
    old.run?.end();
    const over: Reset = { type: 'reset', t, why: 'reload' };
    const inner = playing(old.instrument, rules).step(old.inner, over);
    // Nothing was reset but this.
    const held = inner.out.filter(({ type }) => type !== 'reset');
    return { state: begin(), out: [...ended, ...held] };
  }

  function step(state: OwnLogicState, event: TouchEvent | Wake): Outcome<OwnLogicState, NoteEvent> {
    if (state.untold) {
      const fault = state.untold;
      state.untold = null;
      onFault(event.t, fault);
    }
    if (!logic || state.failed) return byBuiltin(state, event);
    try {
      state.run ??= logic.begin(setup);
      return byRun(state, state.run, event);
    } catch (error) {
      const failed = fail(state, event.t, faultOf(error));
      return event.type === 'reset' ? { ...failed, out: [...failed.out, event] } : failed;
    }
  }

  return {
    name: 'playing',
    begin,
    step(state, event) {
      if (state.logic === logic && state.instrument === instrument) return step(state, event);
      const { state: own, out } = takeOver(state, event.t);
      // A wake-up was the other one's.
      if (event.type === 'wake') return { state: own, out, wake: NEVER };
      const outcome = step(own, event);
      return { ...outcome, out: [...out, ...outcome.out] };
    },
  };
}

function faultOf(error: unknown): LogicFault {
  if (error instanceof LogicFault) return error;
  throw error;
}
