import type { Timed } from '../time/events.js';
import { MILLISECOND, NEVER, SECOND, type Micros } from '../time/micros.js';
import { NOTHING, type Outcome, type Stage } from '../time/stage.js';

/**
 * Whether a wire that stops sending is noticed. `auto`: where it has shown a steady pace; `always`:
 * whatever its pace was like; `never`: it may stop without meaning anything; a duration: after that
 * long, from the first reading on.
 */
export type Steadiness = 'auto' | 'always' | 'never' | Micros;

/** Readings came. */
export interface Heard extends Timed {
  readonly type: 'heard';
}

/** Any MIDI data came; `sensing`: it was Active Sensing itself. */
export interface Sign extends Timed {
  readonly type: 'sign';
  readonly sensing: boolean;
}

/** The wire has stopped, or sends again. */
export interface LifeChange extends Timed {
  readonly type: 'quiet' | 'back';
}

/** A silence shorter than this is never taken for a stop. */
export const SHORTEST: Micros = 250 * MILLISECOND;
/** A steady wire that stops is noticed within this time. One that pauses for longer is not steady. */
export const LONGEST: Micros = 2 * SECOND;
/** A stop is a silence so many times as long as the largest gap between readings lately. */
const TIMES = 3;
/** A pace is known once it was watched for twice its largest gap, and for `FIRST_TRIAL`. */
const GAPS = 2;
const FIRST_TRIAL: Micros = SECOND;
/**
 * Each stop doubles that, up to this: a board that only sends changes looks steady while somebody
 * plays without a pause, and must not be taken for steady again soon. After as long without a stop
 * all is forgotten.
 */
const LONGEST_TRIAL: Micros = 60 * SECOND;
/** "Lately" is 30 s, kept second by second. */
const SECONDS = 30;
/**
 * MIDI 1.0 Detailed Specification 4.2.1, p. 32: once Active Sensing was received, more than 300 ms
 * without any data means that the sender is gone. A tenth more is left for a sender whose own clock
 * is slow.
 */
export const SENSED: Micros = 330 * MILLISECOND;

export interface LifeState {
  /** Since when the pace is watched; NaN before the first reading. */
  since: Micros;
  /** The last reading. */
  last: Micros;
  /** How long the pace must be watched before it counts. */
  trial: Micros;
  /** The largest gap of each of the last seconds, of all of them, and which second is being filled. */
  readonly gaps: Float64Array;
  largest: Micros;
  second: number;
  /** The last MIDI data of a wire that sends Active Sensing; NaN where it does not. */
  sensed: Micros;
  /** What showed that it has stopped; null while it sends. */
  quiet: 'pace' | 'sensing' | null;
  due: Micros;
}

/** Whether the wire has shown a pace by which its stop can be told. */
export function isSteady(state: LifeState, how: Steadiness): boolean {
  if (Number.isNaN(state.since) || how === 'never') return false;
  if (typeof how === 'number') return true;
  const watched = state.last - state.since;
  if (how === 'always') return watched >= FIRST_TRIAL;
  return watched >= Math.max(state.trial, GAPS * state.largest);
}

/** How long a silence of this wire means that it has stopped; NEVER where none does. */
export function silenceOf(state: LifeState, how: Steadiness): Micros {
  if (!isSteady(state, how)) return NEVER;
  if (typeof how === 'number') return how;
  return Math.min(LONGEST, Math.max(SHORTEST, TIMES * state.largest));
}

/**
 * Tells when a board has stopped sending, and when it sends again, each once.
 *
 * Its wake-ups are not moved by each reading: one that finds that readings came asks for the next.
 * Times should leave out what this program itself slept through (see `listeningTime`).
 */
export function life(
  how: Steadiness,
): Stage<LifeState, Heard | Sign, LifeChange> & { begin(): LifeState } {
  const soonest = how === 'never' ? NEVER : typeof how === 'number' ? how : SHORTEST;

  function begin(): LifeState {
    return {
      since: NaN,
      last: NaN,
      trial: FIRST_TRIAL,
      gaps: new Float64Array(SECONDS),
      largest: 0,
      second: -1,
      sensed: NaN,
      quiet: null,
      due: NEVER,
    };
  }

  function noteGap(state: LifeState, t: Micros, gap: Micros): void {
    const second = Math.floor(t / SECOND);
    if (second !== state.second) turn(state, second);
    const slot = second % SECONDS;
    if (gap > state.gaps[slot]!) state.gaps[slot] = gap;
    if (gap > state.largest) state.largest = gap;
  }

  /** What is older than half a minute does not count any more. */
  function turn(state: LifeState, second: number): void {
    const first = Math.max(state.second + 1, second - SECONDS + 1);
    for (let one = first; one <= second; one++) state.gaps[one % SECONDS] = 0;
    state.second = second;
    state.largest = Math.max(...state.gaps);
    if (state.last - state.since >= LONGEST_TRIAL) state.trial = FIRST_TRIAL;
  }

  function startAgain(state: LifeState, t: Micros): void {
    state.since = t;
    state.trial = Math.min(LONGEST_TRIAL, 2 * state.trial);
  }

  function heard(state: LifeState, t: Micros): readonly LifeChange[] {
    const gap = t - state.last;
    let out: readonly LifeChange[] = NOTHING;
    if (state.quiet) {
      out = [{ type: 'back', t }];
      state.quiet = null;
    }
    if (gap > LONGEST) startAgain(state, t);
    // One that was taken for a stop, too: a network with such gaps has more of them.
    else if (gap >= 0) noteGap(state, t, gap);
    else state.since = t;
    state.last = t;
    if (state.due === NEVER) state.due = t + soonest;
    return out;
  }

  function sign(state: LifeState, { t, sensing }: Sign): readonly LifeChange[] {
    if (!sensing && Number.isNaN(state.sensed) && state.quiet !== 'sensing') return NOTHING;
    if (sensing || !Number.isNaN(state.sensed)) state.sensed = t;
    if (!Number.isNaN(state.sensed) && state.due === NEVER) state.due = t + SENSED;
    if (state.quiet !== 'sensing') return NOTHING;
    state.quiet = null;
    return [{ type: 'back', t }];
  }

  function look(state: LifeState, t: Micros): readonly LifeChange[] {
    const stops = state.quiet ? NEVER : state.last + silenceOf(state, how);
    const fades = state.sensed + SENSED;
    const found = t >= stops ? 'pace' : t >= fades ? 'sensing' : null;
    // After that it is as if Active Sensing had never come (same page).
    if (t >= fades) state.sensed = NaN;
    state.due = Math.min(stops > t ? stops : NEVER, fades > t ? fades : NEVER);
    if (!found || state.quiet) return NOTHING;
    state.quiet = found;
    return [{ type: 'quiet', t }];
  }

  return {
    name: 'life',
    begin,
    step(state, event): Outcome<LifeState, LifeChange> {
      const { t } = event;
      switch (event.type) {
        case 'heard':
          return { state, out: heard(state, t), wake: state.due };
        case 'sign':
          return { state, out: sign(state, event), wake: state.due };
        case 'wake':
          if (t < state.due) return { state, out: NOTHING, wake: state.due };
          return { state, out: look(state, t), wake: state.due };
      }
    },
  };
}
