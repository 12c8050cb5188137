import { pitchName } from '../../../../instrument/pitch.js';
import type { Instrument } from '../../../../instrument/types.js';
import { isAnotherNote, type ChangeKind, type Compared } from '../../../../takes/compare.js';
import type { Verdict } from '../../../../takes/compare-judge.js';
import * as english from '../../../../takes/compare-words.js';
import { drums } from './drums.js';

export { share } from '../../../../takes/compare-words.js';

export function counted(count: number, one: string, more: string): string {
  return `${String(count)} ${count === 1 ? one : more}`;
}

export const spanWords = (micros: number): string => english.spanWords(micros).replace('.', ',');

export const KINDS: Readonly<Record<ChangeKind, string>> = {
  missed: 'klingt nur in A',
  added: 'klingt nur in B',
  pitch: 'in B mit anderer Tonhöhe',
  earlier: 'beginnt in B früher',
  later: 'beginnt in B später',
  louder: 'in B lauter',
  softer: 'in B leiser',
  longer: 'endet in B später',
  shorter: 'endet in B früher',
};

const HOW: Readonly<Record<ChangeKind, string>> = {
  ...{ missed: 'fehlt in B', added: 'zusätzlich in B', pitch: '' },
  ...{ earlier: 'früher', later: 'später', louder: 'lauter', softer: 'leiser' },
  ...{ longer: 'länger', shorter: 'kürzer' },
};

export function changes({ a, b, changes: all }: Compared, { kind }: Instrument): string {
  const pitch = kind === 'hits' ? drums : pitchName;
  const words = all.map((one) => {
    switch (one.kind) {
      case 'missed':
      case 'added':
        return HOW[one.kind];
      case 'pitch':
        return `${pitch(b!.note)} statt ${pitch(a!.note)}`;
      case 'louder':
      case 'softer':
        return `${HOW[one.kind]} (${String(a!.velocity)} → ${String(b!.velocity)})`;
      default:
        return `${spanWords(one.by!)} ${HOW[one.kind]}`;
    }
  });
  return words.join(', ');
}

const NEARER: readonly (readonly [string, readonly ChangeKind[]])[] = [
  ['der Zeit', ['earlier', 'later']],
  ['der Lautstärke', ['louder', 'softer']],
  ['der Länge', ['longer', 'shorter']],
];

export function verdict({ right, nearer }: Verdict): string {
  if (right === 'neither') return 'keine hat recht';
  if (right !== 'both') return `${right} hat recht`;
  const near = (['A', 'B'] as const).flatMap((side) => {
    const ways = NEARER.filter(([, kinds]) => kinds.some((kind) => nearer[kind] === side));
    return ways.length === 0 ? [] : [`${side} näher in ${joined(ways.map(([what]) => what))}`];
  });
  return near.length === 0 ? 'beide haben recht' : `beide haben recht; ${near.join(', ')}`;
}

const tones = (count: number): string => counted(count, 'Ton', 'Töne');

export function headline(notes: readonly Compared[]): string {
  const count = (fits: (one: Compared) => boolean): number => notes.filter(fits).length;
  const has = (...kinds: ChangeKind[]): number =>
    count((one) => one.changes.some(({ kind }) => kinds.includes(kind)));
  const alike = count((one) => one.changes.length === 0);
  if (notes.length === 0) return 'Keine Seite spielt einen Ton.';
  if (alike === notes.length) return `A und B klingen gleich: ${tones(alike)}.`;
  const doing = [
    ...part(has('missed'), (all) => `lässt ${all} von A weg`),
    ...part(has('added'), (all) => `fügt ${all} hinzu`),
    ...part(has('pitch'), (all) => `spielt ${all} in anderer Tonhöhe`),
  ];
  const other = count((one) => one.changes.length > 0 && !isAnotherNote(one));
  const ways = (
    [
      ['Zeit', has('earlier', 'later')],
      ['Lautstärke', has('louder', 'softer')],
      ['Länge', has('longer', 'shorter')],
    ] as const
  ).flatMap(([what, number]) => (number > 0 ? [what] : []));
  return [
    doing.length > 0 ? `B ${joined(doing)}.` : 'B spielt die Töne von A.',
    ...part(other, (all) =>
      other === 1
        ? `${all} unterscheidet sich in ${joined(ways)}.`
        : `${all} unterscheiden sich in ${joined(ways)}.`,
    ),
    alike === 0 ? 'Keiner ist gleich.' : `Gleich: ${tones(alike)}.`,
  ].join(' ');
}

const part = (count: number, words: (all: string) => string): string[] =>
  count === 0 ? [] : [words(count === 1 ? '1 Ton' : tones(count))];

function joined(parts: readonly string[]): string {
  const last = parts.at(-1) ?? '';
  return parts.length < 2 ? last : `${parts.slice(0, -1).join(', ')} und ${last}`;
}
