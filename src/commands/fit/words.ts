import { describeRules } from '../../instrument/rules.js';
import type { Rules } from '../../instrument/types.js';
import type { Change, Fitted, Worthwhile } from '../../fit/cross.js';
import { totalOf, within, type Mark } from '../../fit/marks.js';
import { SECOND } from '../../time/micros.js';
import { counted, type Gathered } from './takes.js';
import { filled } from '../help.js';

const WIDTH = 88;

/** Rounded down, so that 1.000 never stands for a little less than all. */
export function share(value: number): string {
  return (Math.floor(value * 1000 + 1e-9) / 1000).toFixed(3);
}

/** Every key's value as a rules file gives it. */
export function writtenValues(rules: Rules): ReadonlyMap<string, string> {
  return new Map(describeRules(rules).map(({ key, value }) => [key, value]));
}

/** The plain account: how well each take does, what was changed and why. */
export function accountLines(gathered: Gathered, fitted: Fitted): string[] {
  const { start } = gathered;
  const lines = [...tableLines(gathered, fitted), ''];
  if (fitted.changes.length === 0) {
    lines.push(
      ...filled(
        `Nothing that was tried does better on notes that were left out: the result is ${start.name}, ` +
          'as it was.',
        WIDTH,
      ),
    );
  } else {
    const were = writtenValues(start);
    const are = writtenValues(fitted.rules);
    lines.push('Changed, and what each is worth when it is turned back:', '');
    for (const change of fitted.changes) {
      const { key } = change;
      const head = `${key} ${were.get(key) ?? ''} → ${are.get(key) ?? ''}`;
      const [first, ...more] = filled(`${head}: ${whyOf(change, gathered)}`, WIDTH - 4);
      lines.push(`  ${first!}`, ...more.map((line) => `    ${line}`));
    }
  }
  lines.push(...refusedLines(fitted));
  return lines;
}

function refusedLines({ refused, finished }: Fitted): string[] {
  const lines: string[] = [];
  if (refused.length > 0) {
    const list = refused.join(', ');
    const them = refused.length === 1 ? 'it was' : 'they were';
    lines.push(
      '',
      ...filled(
        `Left as ${them}, since notes that were left out do not confirm a change: ${list}.`,
        WIDTH,
      ),
    );
  }
  if (!finished) {
    lines.push(
      '',
      ...filled('The time was over before all was tried; --seconds gives it more.', WIDTH),
    );
  }
  return lines;
}

/** What is scored by itself, in words. */
export function blockName({ takes, blocks }: Gathered, index: number): string {
  const { take, stretch } = blocks[index]!;
  const { path } = takes[take]!;
  if (blocks.length === takes.length) return path;
  const at = (t: number): string => (Number.isFinite(t) ? (t / SECOND).toFixed(1) : '');
  const from = Number.isFinite(stretch.from) ? at(stretch.from) : '0.0';
  return Number.isFinite(stretch.to) ? `${from} s to ${at(stretch.to)} s` : `from ${from} s on`;
}

function tableLines(gathered: Gathered, { seen, heldOut }: Fitted): string[] {
  const { takes, blocks, start } = gathered;
  const names = [...blocks.map((_, i) => blockName(gathered, i)), 'all'];
  const width = Math.max(...names.map((name) => name.length), 4);
  const f = (marks: readonly Mark[]): string => share(totalOf(marks).f).padStart(9);
  const row = (name: string, own: readonly number[]): string =>
    `  ${name.padEnd(width)}${String(totalOf(own.map((i) => seen.start[i]!)).wanted).padStart(7)}` +
    f(own.map((i) => seen.start[i]!)) +
    f(own.map((i) => heldOut[i]!.fitted)) +
    f(own.map((i) => seen.fitted[i]!));
  const all = blocks.map((_, i) => i);
  const single = takes.length === 1;
  const what = single
    ? `One take, cut at silences into ${String(blocks.length)} parts`
    : counted(takes.length, 'take');
  return [
    `${what}, from the rules ${start.name}. F counts right notes (1.000 is all and nothing more);`,
    `"left out" is by rules that were found without looking at that ${single ? 'part' : 'take'}.`,
    '',
    `  ${''.padEnd(width)}  notes    start left out   result`,
    ...all.map((i) => row(names[i]!, [i])),
    row('all', all),
  ];
}

/** Why a key was changed, in a sentence. */
export function whyOf({ worth, heldOut }: Change, gathered: Gathered): string {
  if (worth === null) return 'it goes with the threshold above it, which may not be lower.';
  const reasons = reasonsOf(worth, gathered);
  const why = reasons.length === 0 ? 'as good as before on all notes' : reasons.join(', ');
  if (heldOut.without === null) return `${why}.`;
  const [a, b] = [share(heldOut.without), share(heldOut.f)];
  return `${why}; F left out ${a} without it, ${b} with it.`;
}

function reasonsOf(worth: Worthwhile, gathered: Gathered): string[] {
  const { found, lost, gone, sooner, rank, nearer } = worth;
  const reasons: string[] = [];
  // A note that sounds at another pitch is missed and, as another one, not wanted.
  const wrong = Math.max(0, Math.min(found, gone));
  const soft = areSoft(worth, gathered) ? ' soft' : '';
  const are = (count: number): string =>
    `${String(count)}${soft} ${count === 1 ? 'note is' : 'notes are'}`;
  if (wrong > 0) reasons.push(`${are(wrong)} right that would come out wrong`);
  if (found > wrong) reasons.push(`${are(found - wrong)} heard that would be missed`);
  if (gone > wrong) reasons.push(`${counted(gone - wrong, 'note')} fewer that nobody wanted`);
  if (lost > 0) reasons.push(`at the price of ${String(lost)} missed`);
  if (gone < 0) reasons.push(`at the price of ${String(-gone)} more that nobody wanted`);
  if (Math.abs(sooner) >= 0.5) {
    const ms = Math.abs(sooner).toFixed(1);
    reasons.push(`notes begin ${ms} ms ${sooner > 0 ? 'sooner' : 'later'}`);
  }
  if (rank !== null && Math.abs(rank) >= 0.01) {
    const how = rank > 0 ? 'better' : 'less well';
    reasons.push(`soft and hard are told apart ${how} (correlation ${signed(rank)})`);
  }
  if (nearer >= 0.5)
    reasons.push(`velocities are nearer to the wanted ones by ${nearer.toFixed(1)}`);
  return reasons;
}

const signed = (value: number): string => `${value > 0 ? '+' : '−'}${Math.abs(value).toFixed(2)}`;

/** Whether the notes that are found are much softer than the others, where that is known. */
function areSoft({ foundNotes }: Worthwhile, { takes, blocks }: Gathered): boolean {
  const found: number[] = [];
  const all: number[] = [];
  blocks.forEach(({ take, stretch }, i) => {
    const own = within(takes[take]!.wanted, stretch).sort((a, b) => a.onset - b.onset);
    const strengths = own.map(({ strength, velocity }) => strength ?? velocity);
    const chosen = new Set(foundNotes[i]);
    strengths.forEach((one, note) => {
      if (one === null) return;
      all.push(one);
      if (chosen.has(note)) found.push(one);
    });
  });
  const middle = (values: number[]): number =>
    values.sort((a, b) => a - b)[Math.floor(values.length / 2)] ?? NaN;
  return found.length >= 3 && middle(found) < 0.8 * middle(all);
}
