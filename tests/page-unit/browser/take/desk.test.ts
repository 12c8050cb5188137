import { readFileSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import { begin } from '../../../../src/compare/match.js';
import { describeRules } from '../../../../src/instrument/rules.js';
import type { Result } from '../../../../src/page/browser/take/desk/messages.js';
import { loadRules } from '../../../../src/ports/files/files.js';
import {
  caseDesk,
  caseNames,
  casePath,
  CASES,
  compareJsonOf,
  explainTextOf,
} from './desk-hands.js';
import { file, PLAYED, untold } from './desk-hands.js';

interface Report {
  readonly length: number;
  readonly window: number;
  readonly a: { readonly rules: string; readonly notes: number; readonly score: unknown };
  readonly b: Report['a'];
  readonly rules: unknown;
  readonly alike: number;
  readonly differences: readonly {
    readonly t: number;
    readonly a: object | null;
    readonly b: object | null;
    readonly changes: unknown;
    readonly verdict: unknown;
  }[];
}

/** What the command tells of it, from what the desk has. */
function reported({ notes, judged, length, within, a, b, rules }: Result): Omit<Report, 'compare'> {
  const side = (of: typeof a, score: NonNullable<typeof judged>['a'] | undefined): Report['a'] => ({
    rules: of.name,
    notes: of.notes,
    score: score
      ? {
          f: score.f,
          precision: score.precision,
          recall: score.recall,
          right: score.matched.length,
          missed: score.missed.length,
          added: score.added.length,
        }
      : null,
  });
  const told = (note: object | null): object | null => note && { ...note, voice: undefined };
  return {
    length,
    window: within,
    rules,
    a: side(a, judged?.a),
    b: side(b, judged?.b),
    alike: notes.filter(({ changes }) => changes.length === 0).length,
    differences: notes.flatMap((one, i) =>
      one.changes.length === 0
        ? []
        : [
            {
              t: begin(one),
              changes: one.changes,
              verdict: judged?.verdicts[i] ?? null,
              a: told(one.a),
              b: told(one.b),
            },
          ],
    ),
  };
}

const plain = (value: unknown): unknown => JSON.parse(JSON.stringify(value));

/** Of these there is nothing to run again here: only the notes crossed the network. */
const isMade = (name: string): boolean =>
  (JSON.parse(readFileSync(casePath(name), 'utf8').split('\n', 1)[0]!) as { made?: boolean })
    .made === true;

it.each(caseNames.filter(isMade))(
  'the recorded case %s, whose notes were made elsewhere, is refused',
  async (name) => {
    const { desk } = await caseDesk(name);
    const compared = desk.compare({ seat: 0, a: PLAYED, b: file('legato') }, untold);
    await expect(compared).rejects.toThrow('made');
  },
);

// Held against the commands themselves: what they print of the same files.
describe.each(caseNames.filter((name) => !isMade(name)))('the recorded case %s', (name) => {
  it.each([
    ['as played', 'legato'],
    ['as played', 'plain'],
    ['instant', 'legato'],
  ])('compared, %s and by %s, is as `compare` tells it', async (a, b) => {
    const { desk } = await caseDesk(name);
    const result = await desk.compare(
      { seat: 0, a: a === 'as played' ? PLAYED : file(a), b: file(b) },
      untold,
    );
    const rules = a === 'as played' ? [b] : [a, b];
    const report = (await compareJsonOf(casePath(name), { rules })) as Report;
    expect(report).toMatchObject(plain(reported(result)) as object);
    expect(report.differences).toHaveLength(reported(result).differences.length);
  });

  it('is explained as `explain` tells it, at each of its notes and between them', async () => {
    const { desk, opened } = await caseDesk(name);
    const { notes } = await desk.compare({ seat: 0, a: PLAYED, b: file('legato') }, untold);
    const times = [...new Set([opened.length / 2, ...notes.slice(0, 3).map(begin)])];
    for (const by of [PLAYED, file('legato')]) {
      for (const at of times.map((t) => Math.round(t / 1_000) * 1_000)) {
        const explained = await desk.explain({ seat: 0, by, at, pad: null }, untold);
        const rules = by.by === 'file' ? { rules: by.name } : {};
        const at_ = `${String(at / 1_000)}ms`;
        const text = await explainTextOf(casePath(name), { at: at_, ...rules });
        const whole = (words: string): string => words.replace(/\s+/g, ' ');
        expect(text.startsWith(whole(explained.title))).toBe(true);
        for (const words of explained.answer) expect(text).toContain(whole(words));
        for (const { name: pad, sentences } of explained.pads) {
          expect(text).toContain(pad);
          for (const words of sentences) expect(text).toContain(whole(words));
        }
        for (const { head, sentences } of explained.happenings) {
          expect(text).toContain(whole(`${head}: ${sentences.join(' ')}`));
        }
        for (const { rule, words } of explained.checked) {
          expect(text).toContain(whole(`${rule} ${words}`));
        }
      }
    }
  });
});

describe('what is tried at a seat', () => {
  it('is compared as the file with the same values is', async () => {
    const [name] = caseNames as [string];
    const legato = await loadRules('legato', CASES);
    const values = Object.fromEntries(describeRules(legato).map(({ key, value }) => [key, value]));
    const { desk } = await caseDesk(name);
    const tried = { by: 'tried', name: 'legato', values } as const;
    const one = await desk.compare({ seat: 0, a: PLAYED, b: tried }, untold);
    const other = await desk.compare({ seat: 0, a: PLAYED, b: file('legato') }, untold);
    expect(one).toEqual(other);
    const asked = { seat: 0, at: 1_000_000, pad: null };
    expect(await desk.explain({ ...asked, by: tried }, untold)).toEqual(
      await desk.explain({ ...asked, by: file('legato') }, untold),
    );
  });
});
