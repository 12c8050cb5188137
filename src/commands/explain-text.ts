import { pitchName } from '../instrument/pitch.js';
import { drumName } from '../instrument/drum-names.js';
import type { Explanation } from '../takes/explain.js';
import type { Flip } from '../takes/explain-flips.js';
import type { Found, Happening } from '../takes/explain-happenings.js';
import type { PlayedNote } from '../takes/compare-notes.js';
import { MILLISECOND } from '../time/micros.js';
import { pitchWords, placesOf, placeWords } from './compare-places.js';
import { sizeWords, spanWords, timeWords } from './compare-words.js';
import { padLines } from './explain-pads.js';
import { REASON_WORDS, ruleWords, type Names } from './explain-reasons.js';
import { filled } from './help.js';

/** What else the words need: where the take is, and who plays in it. */
export interface Titles {
  readonly path: string;
  readonly seats: readonly string[];
  readonly seat: number;
}

const WIDTH = 100;

/** The explanation in words, in the order of the way: pads, notes and why, and what was checked. */
export function explainText(explained: Explanation, titles: Titles): string[] {
  const { happenings } = explained;
  const names = namesOf(explained, titles);
  return [
    ...shortly(explained, titles, names),
    '',
    ...padLines(explained),
    ...happenings.flatMap((one) => ['', ...happeningLines(one, explained, names)]),
    ...soundingLines(explained),
    ...checkedLines(explained),
  ].flatMap(folded);
}

export function namesOf({ padNames, instrument }: Explanation, { seats, seat }: Titles): Names {
  return {
    pad: (pad) => padNames[pad] ?? `pad ${String(pad)}`,
    pitch: (note) => (instrument.kind === 'hits' ? drumName(note) : pitchName(note)),
    seat: (one) => seats[one] ?? `seat ${String(one + 1)}`,
    own: seat,
  };
}

/** A long line goes on below its own beginning. */
function folded(line: string): string[] {
  if (line.length <= WIDTH) return [line];
  const [, lead = ''] = /^(\s*(?:\S.*?\s{2,})?)/.exec(line) ?? [];
  const [first = '', ...rest] = filled(line.slice(lead.length), WIDTH - lead.length);
  return [lead + first, ...rest.map((part) => ' '.repeat(lead.length) + part)];
}

function shortly(explained: Explanation, { path, seats, seat }: Titles, names: Names): string[] {
  const { at, from, rules, instrument, happenings } = explained;
  const of = seats.length > 1 ? `, seat ${seats[seat] ?? ''}` : '';
  const title = `${path}${of} at ${timeWords(at)}, ${spanWords(at - from)} to either side (${instrument.name}; rules ${rules.name})`;
  const main = nearestOf(happenings, at);
  if (!main) return [title, '', 'Nothing happened there.', ...nearestLines(explained)];
  const { ended, ends } = main;
  if (ended !== null && ends[0] && Math.abs(ended - at) < Math.abs(main.t - at)) {
    const end = `${headOf(main, explained, names)} ended at ${timeWords(ended)}`;
    return [title, '', `${end}: ${reasonWords(ends[0], names)}.`];
  }
  const why = main.note?.played ? main.reasons.filter(isTelling) : main.reasons;
  const first = why.find(({ shown }) => shown.length > 0) ?? why[0] ?? main.reasons[0]!;
  const answer = `${headOf(main, explained, names)}: ${reasonWords(first, names)}.`;
  const began = happenings.some(({ note, t }) => note?.played && t >= from);
  return [title, '', answer, ...(began ? [] : nearestLines(explained))];
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
  const words = (note: PlayedNote | null, side: string): string =>
    note
      ? `The nearest note ${side}: ${noteWords(note, instrument)}.`
      : `There is no note ${side} in the take.`;
  return [words(before, 'before'), words(after, 'after')];
}

function noteWords(note: PlayedNote, instrument: Explanation['instrument']): string {
  const pitch = pitchWords(note.note, instrument);
  const place = placeWords(note, instrument);
  return `${pitch} at ${timeWords(note.onset)}${place === pitch ? '' : ` (${place})`}`;
}

/** What it is about, in a few words. */
export function headOf(one: Happening, { instrument }: Explanation, names: Names): string {
  const { note, pad, place, t } = one;
  if (note?.played) return noteWords(note.played, instrument);
  const what = pad === null ? (placesOf(instrument)[place ?? -1]?.name ?? '') : names.pad(pad);
  const pitch = note ? ` (it would be ${pitchWords(note.on.note, instrument)})` : '';
  return `No note from ${what} at ${timeWords(t)}${pitch}`;
}

function happeningLines(one: Happening, explained: Explanation, names: Names): string[] {
  const { note, reasons, ends, ended } = one;
  const lines = reasons.map((found) => `  ${sentence(reasonWords(found, names))}`);
  if (note?.played) {
    lines.push(`  ${velocityWords(note.on.strength, note.played.velocity, explained)}`);
    const why = ends.map((found) => reasonWords(found, names)).join('; ');
    const goes = `It still sounds at ${timeWords(note.played.offset)}, where the run stopped.`;
    lines.push(
      `  ${ended === null ? goes : `Ended at ${timeWords(ended)}, after ${spanWords(ended - note.on.t)}: ${why}.`}`,
    );
  }
  return [`${headOf(one, explained, names)}:`, ...lines];
}

function velocityWords(strength: number, velocity: number, { rules }: Explanation): string {
  const { curve, softest, hardest } = rules.velocity;
  const by =
    typeof curve === 'object'
      ? 'by the table of velocity.curve'
      : `by velocity.curve ${String(curve)}, from ${String(softest)} to ${String(hardest)}`;
  return `Velocity ${String(velocity)}: strength ${strength.toFixed(2)} ${by}.`;
}

const sentence = (words: string): string => `${words.charAt(0).toUpperCase()}${words.slice(1)}.`;

/** A reason, and the rules that were found to decide. */
export function reasonWords({ kind, facts, shown }: Found, names: Names): string {
  const told = REASON_WORDS[kind](facts, names);
  const words =
    kind === 'under-on' && shown.length === 0
      ? `${told}; a lower touch.on alone would make no note of it`
      : told;
  const keys = shown.filter(({ key, value }) => !words.includes(`${key} ${value}`));
  if (keys.length === 0) return words;
  return `${words} (${keys.map(({ key, value }) => ruleWords(key, value)).join(', ')})`;
}

function soundingLines({ sounding, instrument }: Explanation): string[] {
  if (sounding.length === 0) return [];
  const all = sounding.map((note) => noteWords(note, instrument)).join(', ');
  return ['', `sounding all the time: ${all}`];
}

/** Each rule that decided, and what another value would have made of it. */
function checkedLines({ happenings, instrument }: Explanation): string[] {
  const shown = happenings.flatMap(({ reasons, ends }) =>
    [...reasons, ...ends].flatMap((one) => one.shown),
  );
  const rows = new Map<string, string>();
  for (const flip of new Set(shown)) {
    const key = ruleWords(flip.key, flip.to);
    const words = flipWords(flip, instrument);
    rows.set(key, rows.has(key) ? `${rows.get(key)!}; ${words}` : words);
  }
  if (rows.size === 0) return [];
  const width = Math.max(...[...rows.keys()].map((key) => key.length));
  return [
    '',
    'checked, by running the take again with one rule changed:',
    ...[...rows].map(([key, words]) => `  ${key.padEnd(width)}  ${words}`),
  ];
}

export function flipWords(
  { note, other, changes, goesOn }: Flip,
  instrument: Explanation['instrument'],
): string {
  if (!note) return `there would be ${noteWords(other!, instrument)}`;
  const name = `${pitchWords(note.note, instrument)} at ${timeWords(note.onset)}`;
  if (!other) return `there would be no ${name}`;
  const words = changes.map(({ kind, by }) => {
    if (kind === 'pitch') return pitchWords(other.note, instrument);
    return kind === 'longer' && goesOn ? 'longer' : `${sizeWords(kind, by ?? 0)} ${kind}`;
  });
  return `${name} would be ${words.join(', ')}`;
}
