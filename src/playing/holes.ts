import type { HolesInstrument, Rules } from '../instrument/types.js';
import type { TouchEvent } from '../pads/touch.js';
import { NEVER, type Micros } from '../time/micros.js';
import type { Outcome, Stage } from '../time/stage.js';
import {
  moveFinger,
  newFinger,
  noteOf,
  restingSince,
  stayFinger,
  type Finger,
} from './holes-fingers.js';
import { PIPE_TABLE, type PipeSignal, type PipeState } from './holes-table.js';
import type { NoteEvent } from './note.js';
import { velocityCurve } from './velocity.js';

type PadEvent = Exclude<TouchEvent, { type: 'reset' }>;

export interface HolesState {
  pipe: PipeState;
  readonly fingers: readonly Finger[];
  /** The touch of the mouth: since when, how hard, since when it may be leaving, how long it was. */
  readonly mouth: { since: Micros; strength: number; loose: Micros | null; lasted: Micros };
  /** The note that sounds, and when it was blown; null while nothing does. */
  sounding: { readonly note: number; readonly since: Micros } | null;
  /** The fingers may rest on another fingering than the last one that was looked up. */
  unread: boolean;
  /** When the fingers will have come to rest, and when a short note has been heard out. */
  due: Micros;
  end: Micros;
}

/**
 * touches → notes, for a pipe: the fingering sets the pitch, and the mouth pad, or the first finger
 * where there is none, sounds it.
 *
 * Fingers never move all at once. A fingering counts once none has moved for `rules.holes.settle`,
 * so that those that are met half-way between two notes sound nothing.
 */
export function holes(
  instrument: HolesInstrument,
  rules: Pick<Rules, 'holes' | 'velocity'>,
): Stage<HolesState, TouchEvent, NoteEvent> {
  const { settle, unknown, 'mouth-waits': mouthWaits } = rules.holes;
  const velocityOf = velocityCurve(rules.velocity);
  const holeOfPad: (number | undefined)[] = [];
  instrument.holes.forEach((pad, hole) => (holeOfPad[pad] = hole));

  function signal(
    state: HolesState,
    what: PipeSignal,
    t: Micros,
    out: NoteEvent[],
    note?: number,
  ): void {
    const { act, to } = PIPE_TABLE[state.pipe][what];
    state.pipe = to;
    if (act === 'none') return;
    const { sounding } = state;
    const { strength } = state.mouth;
    if (act === 'wait') {
      state.end = Math.max(t + 1, heardOut(state, t));
      return;
    }
    if (sounding) {
      out.push({ type: 'off', t, note: sounding.note, string: 0, slurred: act === 'slur' });
      state.sounding = null;
      state.end = NEVER;
    }
    if (act === 'end' || note === undefined) return;
    state.sounding = { note, since: act === 'slur' && sounding ? sounding.since : t };
    if (act === 'short') state.end = Math.max(t + 1, heardOut(state, t));
    const how = act === 'slur' ? 'finger' : 'blow';
    const velocity = velocityOf(strength);
    out.push({ type: 'on', t, note, velocity, strength, string: 0, fret: 0, how });
  }

  /** A note that waited for the fingers lasts as long as its mouth was touched, up to that wait. */
  function heardOut({ mouth, sounding }: HolesState, t: Micros): Micros {
    return (sounding?.since ?? t) + Math.min(mouth.lasted, settle);
  }

  /** When the fingering may count: NEVER while it is not known of a finger whether it is leaving. */
  function restAt({ pipe, fingers, mouth }: HolesState): Micros {
    // A mouth that may be leaving does not want another note.
    if (pipe === 'sounding' && mouth.loose !== null) return NEVER;
    const since = restingSince(fingers);
    const waits = mouthWaits && pipe !== 'sounding' && since !== NEVER;
    return (waits ? Math.max(since, mouth.since) : since) + settle;
  }

  function readFingers(state: HolesState, t: Micros, out: NoteEvent[]): void {
    state.unread = false;
    // What the fingers do later than this after a short touch of the mouth was not meant for it.
    const tooLate = state.pipe === 'owed' && restAt(state) > state.mouth.since + 2 * settle;
    const note = tooLate ? null : noteOf(instrument, state.fingers);
    if (note === null) signal(state, unknown === 'end' ? 'unknown' : 'kept', t, out);
    else if (note !== state.sounding?.note) signal(state, 'known', t, out, note);
  }

  function begin(state: HolesState, t: Micros, out: NoteEvent[]): void {
    state.mouth.since = t;
    state.mouth.loose = null;
    signal(state, 'begun', t, out);
  }

  function tell(state: HolesState, t: Micros, strength: number, out: NoteEvent[]): void {
    if (state.pipe !== 'begun') return;
    state.mouth.strength = strength;
    state.unread = true;
    signal(state, 'told', t, out);
    if (restAt(state) <= t) readFingers(state, t, out);
  }

  function mouthTouched(state: HolesState, event: PadEvent, out: NoteEvent[]): void {
    const { t } = event;
    const { mouth } = state;
    switch (event.type) {
      case 'onset':
        begin(state, t, out);
        return;
      case 'strike':
        tell(state, t, event.strength, out);
        return;
      case 'loose':
        mouth.loose = t;
        return;
      case 'firm':
        mouth.loose = null;
        return;
      case 'lift': {
        mouth.lasted = (mouth.loose ?? t) - mouth.since;
        mouth.loose = null;
        const early = state.pipe === 'waiting' ? state.unread : t < heardOut(state, t);
        signal(state, early ? 'early' : 'left', t, out);
        return;
      }
    }
  }

  function holeTouched(state: HolesState, hole: number, event: PadEvent, out: NoteEvent[]): void {
    const { t } = event;
    const sounds = instrument.mouth === null;
    if (event.type === 'strike') {
      if (sounds) tell(state, t, event.strength, out);
      return;
    }
    const first = sounds && !state.fingers.some(({ closed }) => closed);
    if (!moveFinger(state.fingers[hole]!, event.type, t)) return;
    state.unread = true;
    if (first) begin(state, t, out);
    else if (sounds && !state.fingers.some(({ closed }) => closed)) signal(state, 'left', t, out);
  }

  /** Fingers are looked at after all events of a time, since they come one by one. */
  function plan(state: HolesState, t: Micros): void {
    const { pipe, unread } = state;
    const looks = unread && (pipe === 'waiting' || pipe === 'owed' || pipe === 'sounding');
    state.due = looks ? Math.max(restAt(state), t + 1) : NEVER;
  }

  function begun(fingers: readonly Finger[] = instrument.holes.map(newFinger)): HolesState {
    return {
      pipe: 'silent',
      fingers,
      mouth: { since: 0, strength: 0, loose: null, lasted: 0 },
      sounding: null,
      unread: false,
      due: NEVER,
      end: NEVER,
    };
  }

  return {
    name: 'holes',
    begin: () => begun(),
    step(before, event): Outcome<HolesState, NoteEvent> {
      let state = before;
      const out: NoteEvent[] = [];
      switch (event.type) {
        case 'wake':
          if (state.end <= event.t) signal(state, 'due', event.t, out);
          if (state.due <= event.t) readFingers(state, event.t, out);
          break;
        case 'reset':
          signal(state, 'reset', event.t, out);
          // Fingers stay where they are, and their lifts will be told, unless the unit has gone.
          state = begun(event.why === 'lost' ? undefined : before.fingers.map(stayFinger));
          out.push(event);
          break;
        default: {
          const hole = holeOfPad[event.pad];
          if (hole !== undefined) holeTouched(state, hole, event, out);
          else if (event.pad === instrument.mouth) mouthTouched(state, event, out);
        }
      }
      plan(state, event.t);
      return { state, out, wake: Math.min(state.due, state.end) };
    },
  };
}
