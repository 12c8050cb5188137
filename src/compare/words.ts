import type { Instrument } from '../instrument/types.js';
import { isAnotherNote, type Change, type ChangeKind, type Compared } from './compare.js';
import type { Verdict } from './judge.js';
import type { ListedNote } from '../takes/read-notes.js';
import type { Micros } from '../time/micros.js';
import { pitchWords } from './places.js';

export function counted(count: number, noun: string): string {
  return `${String(count)} ${noun}${count === 1 ? '' : 's'}`;
}

/** A stretch of time as precisely as it is of use: `4.0 ms`, `310 ms`, `1.25 s`. */
export function spanWords(micros: Micros): string {
  if (micros >= 999_500) return `${(micros / 1e6).toFixed(2)} s`;
  return `${(micros / 1000).toFixed(micros < 99_950 ? 1 : 0)} ms`;
}

/** A time of the take. */
export function timeWords(micros: Micros): string {
  return `${(micros / 1e6).toFixed(3)} s`;
}

/** Rounded down, so that 1.000 never stands for a little less than all. */
export function share(value: number): string {
  return (Math.floor(value * 1000 + 1e-9) / 1000).toFixed(3);
}

/** What each kind is called in lists, and what it means. */
export const KIND_WORDS: Readonly<Record<ChangeKind, readonly [name: string, means: string]>> = {
  missed: ['missed', 'sounds in A only'],
  added: ['added', 'sounds in B only'],
  pitch: ['other pitch', 'at another pitch in B'],
  earlier: ['earlier', 'begins earlier in B'],
  later: ['later', 'begins later in B'],
  louder: ['louder', 'louder in B'],
  softer: ['softer', 'softer in B'],
  longer: ['longer', 'ends later in B'],
  shorter: ['shorter', 'ends earlier in B'],
};

/** A sign a kind, so that nothing is told by colour alone. */
export const SIGNS: Readonly<Record<ChangeKind, string>> = {
  missed: '✗',
  added: '+',
  pitch: '≠',
  earlier: '◀',
  later: '▶',
  louder: '▲',
  softer: '▼',
  longer: '↦',
  shorter: '⇤',
};

/** What a change is by, in words. */
export function sizeWords(kind: ChangeKind, by: number): string {
  switch (kind) {
    case 'missed':
    case 'added':
      return '';
    case 'pitch':
      return counted(Math.abs(by), 'semitone');
    case 'louder':
    case 'softer':
      return `velocity ${String(by)}`;
    default:
      return spanWords(by);
  }
}

function changeWords({ kind, by }: Change, { a, b }: Compared, instrument: Instrument): string {
  switch (kind) {
    case 'missed':
      return 'missed in B';
    case 'added':
      return 'added in B';
    case 'pitch':
      return `${pitchWords(b!.note, instrument)} instead of ${pitchWords(a!.note, instrument)}`;
    case 'louder':
    case 'softer':
      return `${kind} (${String(a!.velocity)} → ${String(b!.velocity)})`;
    default:
      return `${spanWords(by!)} ${kind}`;
  }
}

/** All that differs in one note, as one sentence part. */
export function changesWords(one: Compared, instrument: Instrument): string {
  return one.changes.map((change) => changeWords(change, one, instrument)).join(', ');
}

const NEARER: readonly (readonly [string, readonly ChangeKind[]])[] = [
  ['time', ['earlier', 'later']],
  ['loudness', ['louder', 'softer']],
  ['length', ['longer', 'shorter']],
];

/** Which side is right, by what was wanted. */
export function verdictWords({ right, nearer }: Verdict): string {
  if (right === 'neither') return 'neither is right';
  if (right !== 'both') return `${right} is right`;
  const near = (['A', 'B'] as const).flatMap((side) => {
    const ways = NEARER.filter(([, kinds]) => kinds.some((kind) => nearer[kind] === side));
    return ways.length === 0 ? [] : [`${side} nearer in ${joined(ways.map(([what]) => what))}`];
  });
  return near.length === 0 ? 'both are right' : `both are right; ${near.join(', ')}`;
}

/** The whole comparison in a sentence or two. */
export function headline(notes: readonly Compared[]): string {
  const count = (fits: (one: Compared) => boolean): number => notes.filter(fits).length;
  const has = (...kinds: ChangeKind[]): number =>
    count(({ changes }) => changes.some(({ kind }) => kinds.includes(kind)));
  const alike = count(({ changes }) => changes.length === 0);
  if (notes.length === 0) return 'Neither plays a note.';
  if (alike === notes.length) return `A and B sound the same: all ${counted(alike, 'note')}.`;
  const doing = [
    part(has('missed'), 'misses', 'of A'),
    part(has('added'), 'adds', ''),
    part(has('pitch'), 'plays', 'at another pitch'),
  ].filter((text) => text !== '');
  const other = count((one) => one.changes.length > 0 && !isAnotherNote(one));
  const first = doing.length > 0 ? `B ${joined(doing)}.` : 'B plays the notes of A.';
  const how: [string, number][] = [
    ['time', has('earlier', 'later')],
    ['loudness', has('louder', 'softer')],
    ['length', has('longer', 'shorter')],
  ];
  const ways = how.filter(([, number]) => number > 0).map(([what]) => what);
  const second =
    other === 0
      ? ''
      : ` ${counted(other, doing.length > 0 ? 'other note' : 'note')} ` +
        `${other === 1 ? 'differs' : 'differ'} in ${joined(ways)}.`;
  const third =
    alike === 0
      ? 'None is alike.'
      : `${counted(alike, 'note')} ${alike === 1 ? 'is' : 'are'} alike.`;
  return `${first}${second} ${third}`;
}

function part(count: number, verb: string, rest: string): string {
  if (count === 0) return '';
  return [verb, counted(count, 'note'), rest].filter((text) => text !== '').join(' ');
}

export function joined(parts: readonly string[]): string {
  const last = parts.at(-1) ?? '';
  return parts.length < 2 ? last : `${parts.slice(0, -1).join(', ')} and ${last}`;
}

/** A note in full, for whoever points at it or does not see it. */
export function noteWords(note: ListedNote, instrument: Instrument): string {
  const { onset, offset, velocity } = note;
  return [
    pitchWords(note.note, instrument),
    `at ${timeWords(onset)}`,
    ...(offset === null ? [] : [`for ${spanWords(offset - onset)}`]),
    ...(velocity === null ? [] : [`velocity ${String(velocity)}`]),
  ].join(', ');
}
