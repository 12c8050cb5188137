import { MILLISECOND, type Micros } from '../../src/time/micros.js';
import { goneAt, leavingOf, wobbleOf, type Contact } from './contact.js';
import type { Pluck, PlayerOptions } from './player.js';
import type { Random } from './random.js';
import { slid, slideBetween, type Slide } from './sliding.js';

/** Notes of one string that one press of a fret serves; fret 0 is no press. */
export interface Hold {
  readonly fret: number;
  readonly notes: readonly Pluck[];
}

export interface Hand {
  readonly contacts: Contact[];
  /** When each fretted note is let go. */
  readonly lets: { readonly note: Pluck; readonly end: Micros }[];
}

/** The fret is down 30 to 120 ms before its pluck, less in fast passages. Common practice. */
const AHEAD: readonly [Micros, Micros] = [30 * MILLISECOND, 120 * MILLISECOND];
/** The string must have been plucked for its last note before the next one is fretted. */
const AFTER_LAST: Micros = 25 * MILLISECOND;
/** A finger that has to be gone for the next note is gone this long before it. */
const CLEAR: readonly [Micros, Micros] = [3 * MILLISECOND, 28 * MILLISECOND];
/** A lower finger may stay under the next, higher one. */
const UNDER: readonly [Micros, Micros] = [-15 * MILLISECOND, 60 * MILLISECOND];
const SHORTEST: Micros = 25 * MILLISECOND;
/** The finger below a hammer-on stays at least so long. */
const BELOW: Micros = 30 * MILLISECOND;
/** Late, and lifted early. */
const OFF_BY: readonly [Micros, Micros] = [4 * MILLISECOND, 22 * MILLISECOND];

/** Notes on the same fret keep their finger down, or (3 of 10, where there is time) press it again. */
export function holdsOf(notes: readonly Pluck[], random: Random): Hold[] {
  const holds: { fret: number; notes: Pluck[] }[] = [];
  for (const note of notes) {
    const last = holds.at(-1);
    const before = last?.notes.at(-1);
    const again = random.chance(0.3) && note.t - (before?.t ?? 0) > 220 * MILLISECOND;
    const rested = before !== undefined && note.t - before.end > 300 * MILLISECOND;
    if (last && last.fret === note.fret && !again && !rested) last.notes.push(note);
    else holds.push({ fret: note.fret, notes: [note] });
  }
  return holds;
}

/** A fret is pressed firmly: most of a full touch, in 6 to 15 ms. Memory, no source. */
function press(pad: number, at: Micros, until: Micros, leaving: Micros, random: Random): Contact {
  return {
    kind: 'fret',
    pad,
    at: Math.round(at),
    until: Math.round(until),
    peak: random.normal(0.85, 0.08, 0.65, 1),
    landing: Math.round(random.between(6, 15) * MILLISECOND),
    leaving: Math.round(leaving),
    wobble: wobbleOf(random),
    losses: [],
  };
}

/** The latest that a finger on `fret` may lift, for it not to stop the notes that follow. */
function latest(fret: number, after: readonly Hold[], leaving: Micros, random: Random): Micros {
  const [next, second] = after;
  let most = Infinity;
  if (next) {
    const t = next.notes[0]!.t;
    if (next.fret > fret) most = t + random.between(...UNDER);
    // Pressed again: it comes up for that.
    else if (next.fret === fret && fret > 0) most = t - 90 * MILLISECOND - leaving;
    else most = t - random.between(...CLEAR) - leaving;
  }
  if (second && second.fret < fret) most = Math.min(most, second.notes[0]!.t - CLEAR[1] - leaving);
  return most;
}

/** What the fretting hand does on one string, for its plucks in the order of time. */
export function fretting(
  notes: readonly Pluck[],
  frets: readonly number[],
  how: PlayerOptions,
  random: Random,
  sliding: Random,
): Hand {
  const holds = holdsOf(notes, random);
  const hand: Hand = { contacts: [], lets: [] };
  /** Where a slide has already laid the finger of the hold that comes. */
  let arrives: Slide | null = null;
  let gone = 0;
  holds.forEach((hold, i) => {
    // Drawn whether needed or not, so that options do not change what other notes draw.
    const ahead = random.between(...AHEAD);
    const leaving = leavingOf(random);
    const natural = random.normal(10, 25, -40, 80) * MILLISECOND;
    const [late, early, slides] = [how.late, how.early, how.slide].map((share) =>
      random.chance(share),
    ) as [boolean, boolean, boolean];
    const offBy = random.between(...OFF_BY);
    const most = latest(hold.fret, holds.slice(i + 1), leaving, random);
    const trial = slideBetween(hold, holds[i + 1], sliding);

    const arrived = arrives;
    arrives = null;
    if (hold.fret === 0) return;
    const first = hold.notes[0]!;
    const last = hold.notes.at(-1)!;
    const before = holds[i - 1]?.notes.at(-1);
    let at = Math.max(first.t - ahead, (before?.t ?? 0) + AFTER_LAST);
    // The same finger has to be off before it can press again.
    if (holds[i - 1]?.fret === hold.fret) at = Math.max(at, gone + 30 * MILLISECOND);
    if (arrived !== null) at = arrived.arrives;
    else if (first.hammered) at = first.t;
    else if (late) at = first.t + offBy;
    let until = Math.max(last.t + SHORTEST, Math.min(last.end + natural, most));
    if (late) until = Math.max(until, at + SHORTEST);
    const above = holds[i + 1]?.notes[0];
    if (above?.hammered) until = Math.max(until, above.t + BELOW);

    const tooEarly = first.t - offBy - leaving;
    if (early && !late && hold.notes.length === 1 && tooEarly - at > SHORTEST) until = tooEarly;
    else if (slides && trial) {
      arrives = trial;
      hand.contacts.push(...slid(trial, frets, sliding));
    }
    let contact = press(frets[hold.fret - 1]!, at, until, leaving, random);
    if (arrived) contact = { ...contact, landing: arrived.flank };
    if (arrives) contact = { ...contact, until: arrives.leaves, leaving: arrives.flank };
    hand.contacts.push(contact);
    gone = goneAt(contact);
    hold.notes.forEach((note, k) => {
      const next = hold.notes[k + 1];
      const end = next ? next.t : contact.until < note.t ? note.end : contact.until;
      hand.lets.push({ note, end });
    });
  });
  return hand;
}
