import { CHANGE_KINDS, isAnotherNote, type Compared } from '../../compare/compare.js';
import { begin } from '../../compare/match.js';
import type { Score } from '../../score/score.js';
import { quantile } from '../../score/stats.js';
import { pitchWords, placeWords } from '../../compare/places.js';
import type { Comparison, Run } from '../../compare/run.js';
import {
  changesWords,
  counted,
  headline,
  KIND_WORDS,
  share,
  sizeWords,
  timeWords,
  verdictWords,
} from '../../compare/words.js';

/** More notes than this are counted, not listed; the page and the JSON have them all. */
const MOST = 20;

/** The plain report: what differs, which rules do, and where to listen. */
export function compareText(comparison: Comparison): readonly string[] {
  const { a, b, judged, notes } = comparison;
  const width = Math.max(a.name.length, b.name.length);
  return [
    sideLine('A', a, width, judged?.a),
    sideLine('B', b, width, judged?.b),
    '',
    headline(notes),
    ...changeLines(notes),
    ...ruleLines(comparison),
    ...whereLines(comparison),
  ];
}

function sideLine(label: string, { name, notes }: Run, width: number, score?: Score): string {
  const line = `${label}  ${name.padEnd(width)}  ${counted(notes.length, 'note').padStart(9)}`;
  if (!score) return line;
  const { f, matched, missed, added } = score;
  const all = matched.length + missed.length;
  return (
    `${line}   F ${share(f)}: ${String(matched.length)} of ${String(all)} wanted notes right, ` +
    `${String(added.length)} not wanted`
  );
}

function changeLines(notes: readonly Compared[]): string[] {
  const lines = CHANGE_KINDS.flatMap((kind) => {
    const sizes = notes.flatMap(({ changes }) =>
      changes.filter((one) => one.kind === kind).map(({ by }) => Math.abs(by ?? 0)),
    );
    if (sizes.length === 0) return [];
    sizes.sort((one, other) => one - other);
    const [name, means] = KIND_WORDS[kind];
    const middle = sizeWords(kind, Math.round(quantile(sizes, 0.5)));
    const most = sizeWords(kind, sizes.at(-1)!);
    const by = middle === '' ? '' : middle === most ? `: ${most}` : `: ${middle}, at most ${most}`;
    return [`  ${name.padEnd(12)}${String(sizes.length).padStart(5)}   ${means}${by}`];
  });
  return lines.length === 0 ? [] : ['', ...lines];
}

function ruleLines({ rules, instrument }: Comparison): string[] {
  if (rules.length === 0) {
    return ['', 'No rule differs between A and B: the two rule sets say the same.'];
  }
  const widest = (texts: readonly string[]): number =>
    Math.max(...texts.map((text) => text.length));
  const keys = widest(['rules', ...rules.map(({ key }) => key)]);
  const values = widest(rules.flatMap(({ a, b }) => [a, b]));
  const rows = rules.map(({ key, a, b, about, matters }) => {
    const means = matters ? about : `No part in this take: ${instrument.kind} are played.`;
    return `  ${key.padEnd(keys)}  ${a.padEnd(values)}  ${b.padEnd(values)}  ${means}`;
  });
  return ['', `  ${'rules'.padEnd(keys)}  ${'A'.padEnd(values)}  B`, ...rows];
}

/** Those that everybody hears first, then those with most changes; told in the order of time. */
function mostTelling(found: readonly number[], notes: readonly Compared[]): number[] {
  const weight = (index: number): number => {
    const one = notes[index]!;
    return (isAnotherNote(one) ? 10 : 0) + one.changes.length;
  };
  const heaviest = [...found].sort((one, other) => weight(other) - weight(one)).slice(0, MOST);
  return heaviest.sort((one, other) => one - other);
}

function whereLines({ notes, window, judged, instrument }: Comparison): string[] {
  const inside = (one: Compared): boolean =>
    window === null || (begin(one) >= window.from && begin(one) <= window.to);
  const found = notes.flatMap((one, i) => (one.changes.length > 0 && inside(one) ? [i] : []));
  const where =
    window === null ? 'where' : `where, from ${timeWords(window.from)} to ${timeWords(window.to)}`;
  if (found.length === 0) return window === null ? [] : ['', `${where}: nothing differs`];
  const rows = mostTelling(found, notes).map((index) => {
    const one = notes[index]!;
    const note = one.a ?? one.b;
    return [
      timeWords(begin(one)),
      placeWords(note, instrument),
      pitchWords(note.note, instrument),
      changesWords(one, instrument),
      judged ? verdictWords(judged.verdicts[index]!) : '',
    ] as const;
  });
  const widths = [0, 1, 2, 3].map((i) => Math.max(...rows.map((row) => row[i]!.length)));
  const lines = rows.map(([time, ...rest]) =>
    [time.padStart(widths[0]!), ...rest.map((text, i) => text.padEnd(widths[i + 1] ?? 0))]
      .join('  ')
      .trimEnd(),
  );
  const more = found.length - rows.length;
  return ['', `${where}:`, ...lines.map((line) => `  ${line}`), ...(more > 0 ? [rest(more)] : [])];
}

function rest(more: number): string {
  return `  and ${String(more)} more, which --html and --json show`;
}
