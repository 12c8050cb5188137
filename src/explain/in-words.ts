import { MILLISECOND } from '../time/micros.js';
import { spanWords, timeWords } from '../compare/words.js';
import type { Explanation } from './explain.js';
import type { Found, Happening } from './happenings.js';
import { padSentences, rulesWords } from './pad-words.js';
import type { Names } from './reason-words.js';
import { ruleWords } from './reason-words.js';
import { flipWords, headOf, namesOf, noteWords, reasonWords } from './words.js';
import type { Titles } from './words.js';

/** An explanation in words, in the order of the way. Sentences are whole, with their full stop. */
export interface InWords {
  /** What was looked at. */
  readonly title: string;
  /** The answer in short; where nothing began there, with the nearest notes. */
  readonly answer: readonly string[];
  /** By which rules a pad counts as touched; empty where the board decides that. */
  readonly limits: string;
  /** What the pads were read at, and what was made of it; no full stops. */
  readonly pads: readonly { readonly name: string; readonly sentences: readonly string[] }[];
  readonly happenings: readonly { readonly head: string; readonly sentences: readonly string[] }[];
  /** The notes that sound all the time; empty where there are none. */
  readonly sounding: string;
  /** Each rule that decided, with another value, and what that would have made of it. */
  readonly checked: readonly { readonly rule: string; readonly words: string }[];
}

export function inWords(explained: Explanation, titles: Titles): InWords {
  const names = namesOf(explained, titles);
  const { happenings, sounding, instrument } = explained;
  return {
    ...shortly(explained, titles, names),
    limits: explained.decided ? '' : rulesWords(explained),
    pads: explained.pads.map((pad) => ({
      name: pad.name,
      sentences: padSentences(pad, explained),
    })),
    happenings: happenings.map((one) => ({
      head: headOf(one, explained, names),
      sentences: sentencesOf(one, explained, names),
    })),
    sounding: sounding.map((note) => noteWords(note, instrument)).join(', '),
    checked: checkedOf(explained),
  };
}

function shortly(
  explained: Explanation,
  { path, seats, seat }: Titles,
  names: Names,
): Pick<InWords, 'title' | 'answer'> {
  const { at, from, to, rules, instrument, happenings } = explained;
  const of = seats.length > 1 ? `, seat ${seats[seat] ?? ''}` : '';
  const title = `${path}${of} at ${timeWords(at)}, ${spanWords(to - at)} to either side (${instrument.name}; rules ${rules.name})`;
  const main = nearestOf(happenings, at);
  if (!main) return { title, answer: ['Nothing happened there.', ...nearestLines(explained)] };
  const { ended, ends } = main;
  if (ended !== null && ends[0] && Math.abs(ended - at) < Math.abs(main.t - at)) {
    const end = `${headOf(main, explained, names)} ended at ${timeWords(ended)}`;
    return { title, answer: [`${end}: ${reasonWords(ends[0], names)}.`] };
  }
  const why = main.note?.played ? main.reasons.filter(isTelling) : main.reasons;
  const first = why.find(({ shown }) => shown.length > 0) ?? why[0] ?? main.reasons[0]!;
  const answer = `${headOf(main, explained, names)}: ${reasonWords(first, names)}.`;
  const began = happenings.some(({ note, t }) => note?.played && t >= from);
  return { title, answer: [answer, ...(began ? [] : nearestLines(explained))] };
}

/** What everybody knows of a note: that its pad was touched. */
const isTelling = ({ kind }: Found): boolean =>
  kind !== 'plucked' && kind !== 'pressed' && kind !== 'hit';

/** Asked for where nothing else is as near: what goes on within a touch. */
const WITHIN: ReadonlySet<string> = new Set<Found['kind']>([
  ...(['bounced', 'dipped', 'fret-only', 'fret-lift', 'finger-passing'] as const),
]);
const FARTHER = 60 * MILLISECOND;

function nearestOf(happenings: readonly Happening[], at: number): Happening | undefined {
  const apart = ({ t, ended, reasons }: Happening): number =>
    Math.min(Math.abs(t - at), Math.abs((ended ?? t) - at)) +
    (reasons.every(({ kind }) => WITHIN.has(kind)) ? FARTHER : 0);
  return [...happenings].sort((a, b) => apart(a) - apart(b))[0];
}

function nearestLines({ before, after, instrument }: Explanation): string[] {
  const words = (note: typeof before, side: string): string =>
    note
      ? `The nearest note ${side}: ${noteWords(note, instrument)}.`
      : `There is no note ${side} in the take.`;
  return [words(before, 'before'), words(after, 'after')];
}

function sentencesOf(one: Happening, explained: Explanation, names: Names): string[] {
  const { note, reasons, ends, ended } = one;
  const lines = reasons.map((found) => sentence(reasonWords(found, names)));
  if (!note?.played) return lines;
  const why = ends.map((found) => reasonWords(found, names)).join('; ');
  return [
    ...lines,
    velocityWords(note.on.strength, note.played.velocity, explained),
    ended === null
      ? `It still sounds at ${timeWords(note.played.offset)}, where the run stopped.`
      : `Ended at ${timeWords(ended)}, after ${spanWords(ended - note.on.t)}: ${why}.`,
  ];
}

const sentence = (words: string): string => `${words.charAt(0).toUpperCase()}${words.slice(1)}.`;

function velocityWords(strength: number, velocity: number, { rules }: Explanation): string {
  const { curve, softest, hardest } = rules.velocity;
  const by =
    typeof curve === 'object'
      ? 'by the table of velocity.curve'
      : `by velocity.curve ${String(curve)}, from ${String(softest)} to ${String(hardest)}`;
  return `Velocity ${String(velocity)}: strength ${strength.toFixed(2)} ${by}.`;
}

function checkedOf({ happenings, instrument }: Explanation): InWords['checked'] {
  const shown = happenings.flatMap(({ reasons, ends }) =>
    [...reasons, ...ends].flatMap((one) => one.shown),
  );
  const rows = new Map<string, string>();
  for (const flip of new Set(shown)) {
    const key = ruleWords(flip.key, flip.to);
    const words = flipWords(flip, instrument);
    rows.set(key, rows.has(key) ? `${rows.get(key)!}; ${words}` : words);
  }
  return [...rows].map(([rule, words]) => ({ rule, words }));
}
