import type { Rules, StringsInstrument } from '../instrument/types.js';
import type { Strike, TouchEvent } from '../pads/touch.js';
import { MILLISECOND, NEVER, type Micros } from '../time/micros.js';
import type { Outcome, Stage } from '../time/stage.js';
import { isWaiting, mayBeBrush, maySoonBeBrush, type Doubt, type LastPluck } from './brush.js';
import { newHabits, type Habits } from './habits.js';
import type { NoteEvent } from './note.js';
import type { StringPlay } from './string-play.js';
import { stringPlayer } from './string.js';

/** What a pad is for: `fret` counts from 1, and 0 is the pluck pad. */
interface Role {
  readonly string: number;
  readonly fret: number;
}

export interface StringsState {
  readonly strings: readonly StringPlay[];
  /** The last pluck of each string. */
  readonly plucks: (LastPluck | undefined)[];
  /** The pluck of each string that may have been a brush. */
  readonly doubts: (Doubt | undefined)[];
  /** Whether a pluck of each string has begun whose strength is not told yet. */
  readonly begun: boolean[];
  readonly habits: Habits;
  /** When each string wants to be woken. */
  readonly wakes: Float64Array;
}

/** Which pad is which fret or pluck pad, by pad number. */
export function stringRoles(instrument: StringsInstrument): readonly (Role | undefined)[] {
  const roles: (Role | undefined)[] = [];
  instrument.strings.forEach((string, index) => {
    string.frets.forEach((pad, i) => (roles[pad] = { string: index, fret: i + 1 }));
    roles[string.pluck] = { string: index, fret: 0 };
  });
  return roles;
}

/** So long a strength that is not told yet is waited for: two scans, or the readings of a slow board. */
const UNTOLD: Micros = 8 * MILLISECOND;

/** touches → notes, for instruments whose strings are stopped by frets and sounded by plucks. */
export function strings(
  instrument: StringsInstrument,
  rules: Pick<Rules, 'strings' | 'velocity'>,
): Stage<StringsState, TouchEvent, NoteEvent> {
  const roles = stringRoles(instrument);
  const players = instrument.strings.map((string, i) => stringPlayer(i, string.open, rules));
  /** The strings next to each. */
  const besides = players.map((_, i) => [i - 1, i + 1].filter((other) => players[other]));
  const slowest = rules.strings['resting-thumb'] ?? NEVER;

  function keepWake(state: StringsState, string: number): void {
    const doubt = state.doubts[string];
    const until = doubt && isWaiting(doubt) ? doubt.until : NEVER;
    state.wakes[string] = Math.min(players[string]!.wakeOf(state.strings[string]!), until);
  }

  function earliest({ wakes }: StringsState): Micros {
    let wake = NEVER;
    for (const own of wakes) if (own < wake) wake = own;
    return wake;
  }

  function plucked(state: StringsState, string: number, strike: Strike, out: NoteEvent[]): void {
    state.begun[string] = false;
    if (strike.landing > slowest) return;
    const until = strike.onset + (rules.strings.brush ?? 0);
    const beside = besides[string]!;
    if (
      until > strike.t &&
      mayBeBrush(
        strike,
        besides[string]!.map((other) => state.plucks[other]),
        rules.strings,
      )
    ) {
      state.doubts[string] = { strike, until, untold: false, loose: false };
    } else if (
      until > strike.t &&
      maySoonBeBrush(strike, rules.strings) &&
      beside.some((other) => state.begun[other])
    ) {
      state.plucks[string] = strike;
      state.doubts[string] = { strike, until: strike.t + UNTOLD, untold: true, loose: false };
    } else sound(state, string, strike.t, strike, out);
    for (const other of beside) judgeAgain(state, other, strike.t, out);
  }

  /** A pluck that waited for the strength of one beside it, which is told now. */
  function judgeAgain(state: StringsState, string: number, t: Micros, out: NoteEvent[]): void {
    const doubt = state.doubts[string];
    if (!doubt?.untold) return;
    const until = doubt.strike.onset + (rules.strings.brush ?? 0);
    if (
      until > t &&
      mayBeBrush(
        doubt.strike,
        besides[string]!.map((other) => state.plucks[other]),
        rules.strings,
      )
    ) {
      doubt.untold = false;
      doubt.until = until;
    } else sound(state, string, t, doubt.strike, out);
    keepWake(state, string);
  }

  function sound(
    state: StringsState,
    string: number,
    t: Micros,
    strike: Strike,
    out: NoteEvent[],
  ): void {
    state.doubts[string] = undefined;
    state.plucks[string] = strike;
    players[string]!.pluck(state.strings[string]!, t, strike, state.habits, out);
  }

  /** A doubtful pluck that comes back from a bounce: now it shows whether it is as firm as others. */
  function firmAgain(
    state: StringsState,
    string: number,
    t: Micros,
    level: number,
    out: NoteEvent[],
  ): void {
    const { strike } = state.doubts[string]!;
    const back = { onset: strike.onset, shown: level };
    const beside = besides[string]!.map((other) => state.plucks[other]);
    if (mayBeBrush(back, beside, rules.strings)) settleDoubt(state, string, t, out);
    else sound(state, string, t, strike, out);
  }

  /** The wait for a doubtful pluck is over, or it is firm again after that: it was one. */
  function settleDoubt(state: StringsState, string: number, t: Micros, out: NoteEvent[]): void {
    const doubt = state.doubts[string];
    if (doubt && isWaiting(doubt) && doubt.until <= t) sound(state, string, t, doubt.strike, out);
  }

  function touched(
    state: StringsState,
    event: Exclude<TouchEvent, { type: 'reset' }>,
    out: NoteEvent[],
  ): void {
    const role = roles[event.pad];
    if (!role) return;
    const { t } = event;
    const { string, fret } = role;
    const player = players[string]!;
    const play = state.strings[string]!;
    const isPluck = fret === 0;
    switch (event.type) {
      case 'onset':
        if (isPluck) {
          state.begun[string] = true;
          player.pressPluck(play, t);
        } else player.pressFret(play, t, fret, state.habits, out);
        return;
      case 'strike':
        if (isPluck) plucked(state, string, event, out);
        else player.strikeFret(play, t, fret, event.strength, state.habits, out);
        return;
      case 'loose': {
        const doubt = state.doubts[string];
        if (!isPluck) player.loosenFret(play, t, fret);
        else if (doubt) {
          doubt.loose = true;
          settleDoubt(state, string, t, out);
        }
        return;
      }
      case 'firm': {
        const doubt = state.doubts[string];
        if (!isPluck) player.firmFret(play, fret);
        else if (doubt) {
          doubt.loose = false;
          firmAgain(state, string, t, event.level, out);
        }
        return;
      }
      case 'lift':
        if (isPluck) {
          state.doubts[string] = undefined;
          state.begun[string] = false;
          player.liftPluck(play);
        } else player.liftFret(play, t, fret, state.habits, out);
        return;
    }
  }

  return {
    name: 'strings',
    begin: () => ({
      strings: players.map((player) => player.begin()),
      plucks: players.map(() => undefined),
      doubts: players.map(() => undefined),
      begun: players.map(() => false),
      habits: newHabits(),
      wakes: new Float64Array(players.length).fill(NEVER),
    }),
    step(state, event): Outcome<StringsState, NoteEvent> {
      const out: NoteEvent[] = [];
      switch (event.type) {
        case 'wake':
          players.forEach((player, i) => {
            if (state.wakes[i]! > event.t) return;
            settleDoubt(state, i, event.t, out);
            player.wake(state.strings[i]!, event.t, state.habits, out);
            keepWake(state, i);
          });
          break;
        case 'reset':
          players.forEach((player, i) => {
            player.reset(state.strings[i]!, event.t, out);
          });
          state.plucks.fill(undefined);
          state.doubts.fill(undefined);
          state.begun.fill(false);
          state.wakes.fill(NEVER);
          out.push(event);
          break;
        default: {
          touched(state, event, out);
          const role = roles[event.pad];
          if (role) keepWake(state, role.string);
        }
      }
      return { state, out, wake: earliest(state) };
    },
  };
}
