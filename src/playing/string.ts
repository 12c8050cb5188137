import type { Rules } from '../instrument/types.js';
import { MILLISECOND, NEVER, type Micros } from '../time/micros.js';
import { meantBy, stopping } from './held.js';
import { isOftenLate, learnLateness, type Lateness } from './lateness.js';
import type { How, NoteEvent } from './note.js';
import type { StringPlay, StringPlayer, Wanted } from './string-play.js';
import { STRING_TABLE, type StringSignal } from './string-table.js';
import { velocityCurve } from './velocity.js';

/** A fret this soon after its pluck was late, though the pluck's strength may not be known yet. */
const JUST_IN_TIME: Micros = 8 * MILLISECOND;

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
    play.state = row.to === 'fret' ? (wanted?.fret === 0 ? 'open' : 'stopped') : row.to;
  }

  /** A slur goes on with the strength of the note that it carries on. */
  const carry = (play: StringPlay, fret: number, by: How): Wanted => ({
    fret,
    strength: play.sounding?.strength ?? 0,
    how: by,
  });

  function sound(
    play: StringPlay,
    t: Micros,
    fret: number,
    strength: number,
    out: NoteEvent[],
  ): void {
    play.waiting = null;
    signal(play, 'pluck', t, out, { fret, strength, how: 'pluck' });
    const hold = how['damp-by-hold'];
    play.damp =
      hold === null || play.plucked === null ? NEVER : Math.max(play.plucked + hold, t + 1);
  }

  /** The wait is over without a fret: the pluck was meant for what is held. */
  function stopWaiting(play: StringPlay, t: Micros, lateness: Lateness, out: NoteEvent[]): void {
    if (!play.waiting) return;
    learnLateness(lateness, false);
    sound(play, t, stopping(play.held, how.stop)?.fret ?? 0, play.waiting.strength, out);
  }

  return {
    begin: () => ({
      state: 'silent',
      held: [],
      sounding: null,
      plucked: null,
      waiting: null,
      lateUntil: NEVER,
      due: NEVER,
      damp: NEVER,
    }),

    pressPluck(play, t) {
      play.plucked = t;
    },

    pluck(play, t, { contact, strength }, lateness, out) {
      stopWaiting(play, t, lateness, out);
      const late = how['late-fret'];
      const meant = meantBy(play.held, how.stop, play.plucked ?? t, how['early-lift']);
      const ready = meant !== null && !meant.used;
      const until = (play.plucked ?? t) + (late ?? 0);
      play.lateUntil = NEVER;
      if (!ready && late !== null && until > t) {
        if (
          how['wait-for-fret'] === 'always' ||
          (how['wait-for-fret'] === 'often' && isOftenLate(lateness))
        ) {
          play.waiting = { strength, until };
          return;
        }
        // As long after the first contact of a slow finger as after that of a quick one: a fret that
        // comes later is more likely the next note's. A strength that took long may be told after that.
        if (contact + late > t) play.lateUntil = contact + late;
      }
      sound(play, t, meant?.fret ?? 0, strength, out);
    },

    liftPluck(play) {
      play.plucked = null;
      play.damp = NEVER;
    },

    pressFret(play, t, fret, lateness, out) {
      play.held = play.held.filter((one) => one.fret !== fret);
      play.held.push({ fret, since: t, loose: null, lifted: false, used: false });
      if (play.plucked !== null && play.waiting === null && play.lateUntil === NEVER) {
        // It comes before the pluck's strength is told, and so in time, but only just.
        if (t - play.plucked <= JUST_IN_TIME) learnLateness(lateness, true);
      }
      if (play.waiting) {
        const { strength } = play.waiting;
        learnLateness(lateness, true);
        sound(play, t, stopping(play.held, how.stop)?.fret ?? fret, strength, out);
        return;
      }
      if (play.lateUntil !== NEVER) {
        play.lateUntil = NEVER;
        learnLateness(lateness, true);
        if (stopping(play.held, how.stop)?.fret === fret) {
          signal(play, 'late', t, out, carry(play, fret, 'late'));
          return;
        }
      }
      if (play.state === 'leaving' && isNext(fret, play.sounding?.fret ?? 0)) {
        signal(play, 'slide', t, out, carry(play, fret, 'slide'));
      }
    },

    strikeFret(play, t, fret, strength, out) {
      const sounding = play.sounding;
      if (!sounding || sounding.fret === fret) return;
      if (!how['hammer-on']) {
        if (play.state === 'open' && how['damp-by-fret']) signal(play, 'damped', t, out);
        return;
      }
      const stop = stopping(play.held, how.stop);
      // A fret that was down before the note began was not hammered on it.
      if (stop?.fret !== fret || stop.since < sounding.since) return;
      signal(play, 'hammer', t, out, { fret, strength, how: 'hammer' });
    },

    loosenFret(play, t, fret) {
      for (const one of play.held) if (one.fret === fret) one.loose = t;
    },

    firmFret(play, fret) {
      for (const one of play.held) if (one.fret === fret) one.loose = null;
      // Its note has a lift again that ends it.
      if (play.state === 'stopped' && play.sounding?.fret === fret) play.due = NEVER;
    },

    liftFret(play, t, fret, out) {
      for (const one of play.held) if (one.fret === fret) one.lifted = true;
      // One that no pluck has used may still be meant for the next one.
      play.held = play.held.filter(
        (one) =>
          one.fret !== fret ||
          (!one.used && one.loose !== null && t - one.loose < how['early-lift']),
      );
      const sounding = play.sounding;
      if (play.state !== 'stopped' || sounding?.fret !== fret) return;
      const next = stopping(play.held, how.stop);
      if (next && how.slide && isNext(next.fret, fret) && t - next.since <= how['slide-overlap']) {
        signal(play, 'slide', t, out, carry(play, next.fret, 'slide'));
      } else if (next && how['pull-off'] && next.fret < fret) {
        signal(play, 'pull', t, out, carry(play, next.fret, 'pull'));
      } else if (play.due === NEVER) {
        signal(play, how.slide ? 'slipped' : 'lifted', t, out);
      }
    },

    wake(play, t, lateness, out) {
      if (play.waiting && play.waiting.until <= t) stopWaiting(play, t, lateness, out);
      if (play.lateUntil <= t) {
        play.lateUntil = NEVER;
        learnLateness(lateness, false);
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
      play.due = NEVER;
      play.damp = NEVER;
    },

    wakeOf: ({ due, damp, waiting, lateUntil }) =>
      Math.min(due, damp, lateUntil, waiting?.until ?? NEVER),
  };
}
