import type { Rules } from '../instrument/types.js';
import { NEVER, type Micros } from '../time/micros.js';
import { stopping, type HeldFret } from './held.js';
import type { How, NoteEvent } from './note.js';
import { STRING_TABLE, type StringSignal, type StringState } from './string-table.js';
import { velocityOf } from './velocity.js';

/** What sounds on a string. */
interface Sounding {
  readonly note: number;
  readonly fret: number;
  readonly strength: number;
  readonly velocity: number;
  readonly since: Micros;
}

/** One string while it is played. Changed in place by `playString`'s functions. */
export interface StringPlay {
  state: StringState;
  held: HeldFret[];
  sounding: Sounding | null;
  /** Since when the pluck pad has been held; null where it is not. */
  plucked: Micros | null;
  /** When the ring, or the wait for a slide, is over. */
  due: Micros;
  /** When holding the pluck pad damps. */
  damp: Micros;
}

/** The note that a signal asks for. */
interface Wanted {
  readonly fret: number;
  readonly strength: number;
  readonly how: How;
}

/** What can happen to one string; each returns nothing and puts its notes into `out`. */
export interface StringPlayer {
  begin(): StringPlay;
  pressPluck(play: StringPlay, t: Micros): void;
  pluck(play: StringPlay, t: Micros, strength: number, out: NoteEvent[]): void;
  liftPluck(play: StringPlay): void;
  pressFret(play: StringPlay, t: Micros, fret: number, out: NoteEvent[]): void;
  strikeFret(play: StringPlay, t: Micros, fret: number, strength: number, out: NoteEvent[]): void;
  liftFret(play: StringPlay, t: Micros, fret: number, out: NoteEvent[]): void;
  wake(play: StringPlay, t: Micros, out: NoteEvent[]): void;
  reset(play: StringPlay, t: Micros, out: NoteEvent[]): void;
}

/** A slide is to the fret next to the one that it leaves. */
const isNext = (a: number, b: number): boolean => Math.abs(a - b) === 1;

/**
 * Fret plus pluck on one string: the held fret sets the pitch and the pluck sounds it.
 *
 * @param index the string, counted from 0 in the order of the instrument file
 * @param open its open pitch, a MIDI note number
 */
export function stringPlayer(
  index: number,
  open: number,
  rules: Pick<Rules, 'strings' | 'velocity'>,
): StringPlayer {
  const how = rules.strings;

  function off(play: StringPlay, t: Micros, slurred: boolean, out: NoteEvent[]): void {
    const sounding = play.sounding;
    if (!sounding) return;
    out.push({ type: 'off', t, note: sounding.note, string: index, slurred });
    play.sounding = null;
    play.due = NEVER;
    if (!slurred) play.damp = NEVER;
  }

  function on(play: StringPlay, t: Micros, wanted: Wanted, out: NoteEvent[]): void {
    const { fret, strength } = wanted;
    const note = open + fret;
    const velocity = velocityOf(strength, rules.velocity);
    play.sounding = { note, fret, strength, velocity, since: t };
    if (fret === 0) play.due = t + Math.max(1, how.ring);
    out.push({ type: 'on', t, note, velocity, strength, string: index, fret, how: wanted.how });
  }

  function signal(
    play: StringPlay,
    what: StringSignal,
    t: Micros,
    out: NoteEvent[],
    wanted?: Wanted,
  ): void {
    const row = STRING_TABLE[play.state][what];
    const slurs = row.act === 'slur';
    if (row.act === 'end' || row.act === 'sound' || slurs) off(play, t, slurs, out);
    if (row.act === 'wait') play.due = t + Math.max(1, how['slide-gap']);
    if (wanted && (row.act === 'sound' || slurs)) on(play, t, wanted, out);
    play.state = row.to === 'fret' ? (wanted?.fret === 0 ? 'open' : 'stopped') : row.to;
  }

  /** A slur goes on with the strength of the note that it carries on. */
  const carry = (play: StringPlay, fret: number, by: How): Wanted => ({
    fret,
    strength: play.sounding?.strength ?? 0,
    how: by,
  });

  return {
    begin: () => ({
      state: 'silent',
      held: [],
      sounding: null,
      plucked: null,
      due: NEVER,
      damp: NEVER,
    }),

    pressPluck(play, t) {
      play.plucked = t;
    },

    pluck(play, t, strength, out) {
      const fret = stopping(play.held, how.stop)?.fret ?? 0;
      signal(play, 'pluck', t, out, { fret, strength, how: 'pluck' });
      const hold = how['damp-by-hold'];
      play.damp =
        hold === null || play.plucked === null ? NEVER : Math.max(play.plucked + hold, t + 1);
    },

    liftPluck(play) {
      play.plucked = null;
      play.damp = NEVER;
    },

    pressFret(play, t, fret, out) {
      play.held.push({ fret, since: t });
      if (play.state === 'open') {
        if (how['damp-by-fret'] && !how['hammer-on']) signal(play, 'damped', t, out);
      } else if (play.state === 'leaving' && isNext(fret, play.sounding?.fret ?? 0)) {
        signal(play, 'slide', t, out, carry(play, fret, 'slide'));
      }
    },

    strikeFret(play, t, fret, strength, out) {
      const sounding = play.sounding;
      if (!how['hammer-on'] || !sounding || sounding.fret === fret) return;
      const stop = stopping(play.held, how.stop);
      // A fret that was down before the note began was not hammered on it.
      if (stop?.fret !== fret || stop.since < sounding.since) return;
      signal(play, 'hammer', t, out, { fret, strength, how: 'hammer' });
    },

    liftFret(play, t, fret, out) {
      play.held = play.held.filter((one) => one.fret !== fret);
      const sounding = play.sounding;
      if (play.state !== 'stopped' || sounding?.fret !== fret) return;
      const next = stopping(play.held, how.stop);
      if (next && how.slide && isNext(next.fret, fret) && t - next.since <= how['slide-overlap']) {
        signal(play, 'slide', t, out, carry(play, next.fret, 'slide'));
      } else if (next && how['pull-off'] && next.fret < fret) {
        signal(play, 'pull', t, out, carry(play, next.fret, 'pull'));
      } else {
        signal(play, how.slide ? 'slipped' : 'lifted', t, out);
      }
    },

    wake(play, t, out) {
      if (play.damp <= t) {
        play.damp = NEVER;
        signal(play, 'damped', t, out);
      }
      if (play.due <= t) {
        play.due = NEVER;
        signal(play, 'due', t, out);
      }
    },

    reset(play, t, out) {
      signal(play, 'reset', t, out);
      play.held = [];
      play.plucked = null;
      play.due = NEVER;
      play.damp = NEVER;
    },
  };
}
