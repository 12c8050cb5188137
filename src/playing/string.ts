import type { Rules } from '../instrument/types.js';
import { MILLISECOND, NEVER, type Micros } from '../time/micros.js';
import { expects, learnHabit, type Habits } from './habits.js';
import { meantBy, stopping } from './held.js';
import type { NoteEvent } from './note.js';
import type { Poised, Slur, StringPlay, StringPlayer, Wanted } from './string-play.js';
import { STRING_TABLE, type StringSignal } from './string-table.js';
import { velocityCurve } from './velocity.js';

/** A fret this soon after its pluck was late, though the pluck's strength may not be known yet. */
const JUST_IN_TIME: Micros = 8 * MILLISECOND;

/** A pluck pad that is touched by then may still take so long to count as a pluck. */
const PLUCK_TOLD: Micros = 50 * MILLISECOND;

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
  const velocityOf = velocityCurve(rules.velocity);

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
    const velocity = velocityOf(strength);
    const held = play.held.find((one) => one.fret === fret);
    if (held) held.used = true;
    play.sounding = { note, fret, strength, velocity, since: t };
    // A note whose fret has gone already has no lift that ends it.
    if (fret === 0 || !held || held.loose !== null) play.due = t + Math.max(1, how.ring);
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
    if (row.act !== 'none') play.poised = null;
    play.state = row.to === 'fret' ? (play.sounding?.fret === 0 ? 'open' : 'stopped') : row.to;
  }

  /** A slur goes on with the strength of the note that it carries on. */
  const carried = (play: StringPlay): number => play.sounding?.strength ?? 0;

  /**
   * A fret may carry the note on. A player who mostly plucks right after that means the pluck's note:
   * it waits for the pluck then, since it would sound twice.
   */
  function slur(
    play: StringPlay,
    what: Slur,
    t: Micros,
    fret: number,
    strength: number,
    habits: Habits,
    out: NoteEvent[],
  ): void {
    // No pluck came for the one that waits: the player does mean notes without.
    goOn(play, t, habits, out);
    if (STRING_TABLE[play.state][what].act !== 'slur') return;
    const after = how['pluck-after'];
    if (after === null || !expects(habits, what, how['wait-for-pluck'])) {
      slurNow(play, what, t, fret, strength, out);
      return;
    }
    // The finger is down: a slide's wait for it is over.
    if (play.state === 'leaving') play.due = NEVER;
    signal(play, 'poise', t, out);
    play.poised = { fret, strength, how: what, until: t + Math.max(1, after) };
  }

  function slurNow(
    play: StringPlay,
    what: Slur,
    t: Micros,
    fret: number,
    strength: number,
    out: NoteEvent[],
  ): void {
    signal(play, what, t, out, { fret, strength, how: what });
    const after = how['pluck-after'];
    play.slurred = after === null ? null : { fret, how: what, until: t + Math.max(1, after) };
  }

  /** No pluck has come for the slur that waits: it sounds now, if its finger is still there. */
  function goOn(play: StringPlay, t: Micros, habits: Habits, out: NoteEvent[]): void {
    const { poised } = play;
    if (!poised) return;
    if (!play.held.some(({ fret, loose }) => fret === poised.fret && loose === null)) {
      drop(play, poised, t, habits, out);
      return;
    }
    play.poised = null;
    learnHabit(habits, poised.how, false);
    signal(play, poised.how, t, out, poised);
  }

  /** The finger of the slur that waits has gone: the note goes on as before, if its own is there. */
  function drop(
    play: StringPlay,
    { how: what }: Poised,
    t: Micros,
    habits: Habits,
    out: NoteEvent[],
  ): void {
    play.poised = null;
    learnHabit(habits, what, false);
    const fret = play.sounding?.fret ?? 0;
    const stays = fret === 0 || play.held.some((one) => one.fret === fret);
    signal(play, stays ? 'dropped' : 'lifted', t, out);
  }

  /** A pluck shows whether the slur before it was meant for itself. */
  function learnPlucked(play: StringPlay, fret: number, habits: Habits): void {
    const slurred = play.poised ?? play.slurred;
    if (slurred) learnHabit(habits, slurred.how, slurred.fret === fret);
    play.slurred = null;
  }

  function sound(
    play: StringPlay,
    t: Micros,
    fret: number,
    strength: number,
    habits: Habits,
    out: NoteEvent[],
  ): void {
    learnPlucked(play, fret, habits);
    play.waiting = null;
    signal(play, 'pluck', t, out, { fret, strength, how: 'pluck' });
    const hold = how['damp-by-hold'];
    play.damp =
      hold === null || play.plucked === null ? NEVER : Math.max(play.plucked + hold, t + 1);
  }

  /** The wait is over without a fret: the pluck was meant for what is held. */
  function stopWaiting(play: StringPlay, t: Micros, habits: Habits, out: NoteEvent[]): void {
    if (!play.waiting) return;
    learnHabit(habits, 'late', false);
    sound(play, t, stopping(play.held, how.stop)?.fret ?? 0, play.waiting.strength, habits, out);
  }

  return {
    begin: () => ({
      state: 'silent',
      held: [],
      sounding: null,
      plucked: null,
      waiting: null,
      lateUntil: NEVER,
      poised: null,
      slurred: null,
      due: NEVER,
      damp: NEVER,
    }),

    pressPluck(play, t) {
      play.plucked = t;
      const told = t + PLUCK_TOLD;
      const { poised, slurred } = play;
      if (poised && poised.until < told) play.poised = { ...poised, until: told };
      if (slurred && slurred.until < told) play.slurred = { ...slurred, until: told };
    },

    pluck(play, t, { contact, strength }, habits, out) {
      stopWaiting(play, t, habits, out);
      const late = how['late-fret'];
      const meant = meantBy(play.held, how.stop, play.plucked ?? t, how['early-lift']);
      const ready = meant !== null && (!meant.used || play.slurred?.fret === meant.fret);
      const until = (play.plucked ?? t) + (late ?? 0);
      play.lateUntil = NEVER;
      if (!ready && late !== null && until > t) {
        if (expects(habits, 'late', how['wait-for-fret'])) {
          play.waiting = { strength, until };
          return;
        }
        // As long after the first contact of a slow finger as after that of a quick one: a fret that
        // comes later is more likely the next note's. A strength that took long may be told after that.
        if (contact + late > t) play.lateUntil = contact + late;
      }
      sound(play, t, meant?.fret ?? 0, strength, habits, out);
    },

    liftPluck(play) {
      play.plucked = null;
      play.damp = NEVER;
    },

    pressFret(play, t, fret, habits, out) {
      play.held = play.held.filter((one) => one.fret !== fret);
      play.held.push({ fret, since: t, loose: null, lifted: false, used: false });
      if (play.plucked !== null && play.waiting === null && play.lateUntil === NEVER) {
        // It comes before the pluck's strength is told, and so in time, but only just.
        if (t - play.plucked <= JUST_IN_TIME) learnHabit(habits, 'late', true);
      }
      if (play.waiting) {
        const { strength } = play.waiting;
        learnHabit(habits, 'late', true);
        sound(play, t, stopping(play.held, how.stop)?.fret ?? fret, strength, habits, out);
        return;
      }
      if (play.lateUntil !== NEVER) {
        play.lateUntil = NEVER;
        learnHabit(habits, 'late', true);
        if (stopping(play.held, how.stop)?.fret === fret) {
          signal(play, 'late', t, out, { fret, strength: carried(play), how: 'late' });
          return;
        }
      }
      if (play.state === 'leaving' && isNext(fret, play.sounding?.fret ?? 0)) {
        slur(play, 'slide', t, fret, carried(play), habits, out);
      }
    },

    strikeFret(play, t, fret, strength, habits, out) {
      const sounding = play.sounding;
      if (!sounding || sounding.fret === fret || play.poised?.fret === fret) return;
      if (!how['hammer-on']) {
        if (play.state === 'open' && how['damp-by-fret']) signal(play, 'damped', t, out);
        return;
      }
      const stop = stopping(play.held, how.stop);
      // A fret that was down before the note began was not hammered on it.
      if (stop?.fret !== fret || stop.since < sounding.since) return;
      slur(play, 'hammer', t, fret, strength, habits, out);
    },

    loosenFret(play, t, fret) {
      for (const one of play.held) if (one.fret === fret) one.loose = t;
    },

    firmFret(play, fret) {
      for (const one of play.held) if (one.fret === fret) one.loose = null;
      // Its note has a lift again that ends it.
      if (play.state === 'stopped' && play.sounding?.fret === fret) play.due = NEVER;
    },

    liftFret(play, t, fret, habits, out) {
      for (const one of play.held) if (one.fret === fret) one.lifted = true;
      // One that no pluck has used may still be meant for the next one.
      play.held = play.held.filter(
        (one) =>
          one.fret !== fret ||
          (!one.used && one.loose !== null && t - one.loose < how['early-lift']),
      );
      if (play.poised?.fret === fret) {
        drop(play, play.poised, t, habits, out);
        return;
      }
      const sounding = play.sounding;
      if (play.state !== 'stopped' || sounding?.fret !== fret) return;
      const next = stopping(play.held, how.stop);
      if (next && how.slide && isNext(next.fret, fret) && t - next.since <= how['slide-overlap']) {
        slur(play, 'slide', t, next.fret, carried(play), habits, out);
      } else if (next && how['pull-off'] && next.fret < fret) {
        slur(play, 'pull', t, next.fret, carried(play), habits, out);
      } else if (play.due === NEVER) {
        signal(play, how.slide ? 'slipped' : 'lifted', t, out);
      }
    },

    wake(play, t, habits, out) {
      if (play.waiting && play.waiting.until <= t) stopWaiting(play, t, habits, out);
      if (play.lateUntil <= t) {
        play.lateUntil = NEVER;
        learnHabit(habits, 'late', false);
      }
      if (play.poised && play.poised.until <= t) goOn(play, t, habits, out);
      if (play.slurred && play.slurred.until <= t) {
        learnHabit(habits, play.slurred.how, false);
        play.slurred = null;
      }
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
      play.waiting = null;
      play.lateUntil = NEVER;
      play.poised = null;
      play.slurred = null;
      play.due = NEVER;
      play.damp = NEVER;
    },

    wakeOf: ({ due, damp, waiting, lateUntil, poised, slurred }) =>
      Math.min(
        ...[due, damp, lateUntil, waiting?.until ?? NEVER],
        ...[poised?.until ?? NEVER, slurred?.until ?? NEVER],
      ),
  };
}
