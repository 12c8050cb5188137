import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { PLAIN } from '../../src/instrument/rules.js';
import type { Rules } from '../../src/instrument/types.js';
import { fit } from '../../src/fit/cross.js';
import { fitKeys, valueOf, withValue } from '../../src/fit/keys.js';
import { totalOf, type Mark } from '../../src/fit/marks.js';
import { randomStart } from '../sim/fit-draws.js';
import { checkScore } from '../sim/check-score.js';
import { ownBuild } from '../sim/measuring.js';
import { OTHERS } from '../sim/others.js';
import { simulate } from '../sim/session.js';
import { randomTune } from '../sim/tune.js';
import { BASS } from '../support/bass.js';
import { planOf } from '../support/kinds.js';
import { judgeOf, madeUp, mark, notesBy, type MadeTake } from './hands.js';

const keys = fitKeys('strings');
const task = { start: PLAIN, keys, allKeys: keys, brief: false, left: () => 1 };
const first = (count: number): number[] => Array.from({ length: count }, (_, i) => i);
const errors = (one: Mark): number => one.missed.length + one.added;

function made(count: number, of: (rules: Rules, take: number) => Mark, start = PLAIN) {
  const { judge, blocks } = madeUp(count, of);
  return fit(judge, { ...task, start, blocks });
}

describe('a fit', () => {
  it('keeps a change that helps on every take, and says what it is worth by turning it back', async () => {
    const start = withValue(PLAIN, 'touch.lift', 90_000)!;
    const of = ({ touch }: Rules) => mark(touch.lift > 60_000 ? first(25) : [3], 0, 10);
    const { rules, changes, heldOut, refused } = await made(3, of, start);
    expect(rules).toEqual(PLAIN);
    expect(refused).toEqual([]);
    expect(changes).toHaveLength(1);
    const [{ key, from, to, worth, heldOut: left }] = changes as [(typeof changes)[number]];
    expect({ key, from, to }).toEqual({ key: 'touch.lift', from: 90_000, to: 24_000 });
    expect(worth).toMatchObject({ fixed: 72, broken: 0, found: 72, lost: 0, gone: 0 });
    // 99 of 100 right and none added; turned back, 75 of 100.
    expect(left.f).toBeCloseTo(198 / 199, 12);
    expect(left.without).toBeCloseTo(150 / 175, 12);
    expect(heldOut.map((one) => errors(one.fitted))).toEqual([1, 1, 1]);
  });

  it('turns back what helps on the takes that it saw, and not on the one left out', async () => {
    // On each take another value is lucky by six notes, and costs two on the others.
    const lucky = [12_000, 50_000, 80_000];
    const of = ({ strings }: Rules, take: number) => {
      const at = lucky.indexOf(strings['early-lift']);
      return mark(first(at < 0 ? 10 : at === take ? 4 : 12));
    };
    const { rules, changes, heldOut } = await made(3, of);
    expect(rules).toEqual(PLAIN);
    expect(changes).toEqual([]);
    for (const { start, fitted } of heldOut) expect(errors(fitted)).toBe(errors(start));
  });

  it('turns back what makes one take worse, however much better it makes the others', async () => {
    const of = ({ strings }: Rules, take: number) =>
      mark(first(strings.brush === 90_000 ? (take === 1 ? 12 : 0) : 10));
    const { rules, refused } = await made(4, of);
    expect(rules).toEqual(PLAIN);
    expect(refused).toEqual(['strings.brush']);
  });

  it('searches only what it is asked to', async () => {
    const start = withValue(withValue(PLAIN, 'touch.lift', 90_000)!, 'strings.brush', null)!;
    const of = ({ touch, strings }: Rules) =>
      mark(first((touch.lift > 60_000 ? 10 : 0) + (strings.brush === null ? 20 : 0)));
    const { judge, blocks } = madeUp(3, of);
    const only = keys.filter(({ key }) => key === 'touch.lift');
    const { rules } = await fit(judge, { ...task, start, keys: only, blocks });
    expect(valueOf(rules, 'touch.lift')).toBe(24_000);
    expect(rules.strings.brush).toBeNull();
  });

  it('says that time was over, and is still no worse than the start', async () => {
    const start = withValue(PLAIN, 'touch.lift', 90_000)!;
    const { judge, blocks } = madeUp(3, ({ touch }) => mark(first(touch.lift > 60_000 ? 25 : 0)));
    const { finished, seen } = await fit(judge, { ...task, start, blocks, left: () => 0 });
    expect(finished).toBe(false);
    expect(totalOf(seen.fitted).f).toBeGreaterThanOrEqual(totalOf(seen.start).f);
  });

  it('makes no take worse than the start, left out or seen, whatever rules do to them', async () => {
    const pick = (rules: Rules, key: string): string => JSON.stringify(valueOf(rules, key));
    await fc.assert(
      fc.asyncProperty(fc.integer({ min: 1, max: 1e9 }), async (seed) => {
        // Errors of each take as any function of some keys' values: mostly chance.
        const hashed = (text: string): number =>
          [...`${String(seed)} ${text}`].reduce(
            (h, c) => Math.imul(h ^ c.charCodeAt(0), 16_777_619) >>> 0,
            2_166_136_261,
          );
        const of = (rules: Rules, take: number): Mark => {
          const told = ['touch.lift', 'strings.brush', 'strings.stop'].map((key) => {
            const value = pick(rules, key);
            return (
              (hashed(`${key} ${value}`) % 10) + (hashed(`${key} ${value} ${String(take)}`) % 6)
            );
          });
          const count = told.reduce((a, b) => a + b, 0);
          return mark(first(count), hashed(`${pick(rules, 'strings.brush')} ${String(take)}`) % 5);
        };
        const { heldOut, seen, rules, changes } = await made(3, of, randomStart(seed));
        for (const { start, fitted } of heldOut) {
          expect(errors(fitted)).toBeLessThanOrEqual(errors(start));
        }
        seen.fitted.forEach((one, i) => {
          expect(errors(one)).toBeLessThanOrEqual(errors(seen.start[i]!));
        });
        if (changes.length === 0) expect(rules).toEqual(randomStart(seed));
      }),
      { numRuns: 60 },
    );
  });
});

describe('on simulated players who are not careful', () => {
  function takeOf(grade: 'usual' | 'worst', seed: number, tune: number): MadeTake {
    const session = simulate({ grade, seed, ...OTHERS.mix }, randomTune(tune, BASS, 50));
    const wanted = session.wanted.map(({ t, end, note, string, strength }) => ({
      onset: t,
      offset: end,
      note,
      string,
      strength,
      velocity: null,
    }));
    return {
      scans: session.take.scans,
      plan: planOf(BASS, PLAIN, ownBuild(session).build),
      wanted,
    };
  }

  /** F by the simulator's own scorer. */
  function f(take: MadeTake, rules: Rules): number {
    const heard = notesBy(take, rules).map(({ onset, note }) => ({ t: onset, note }));
    return checkScore(
      take.wanted.map(({ onset, note }) => ({ t: onset, note })),
      heard,
    ).f;
  }

  it.each([
    ['usual', 3],
    ['worst', 12],
  ] as const)('is no worse than the start on takes it has not seen: %s %i', async (grade, seed) => {
    const takes = first(3).map((i) => takeOf(grade, seed, 100 * seed + i));
    const { judge, blocks } = judgeOf(takes);
    const start = randomStart(seed);
    const { rules } = await fit(judge, { ...task, start, blocks });
    for (const unseen of [takeOf(grade, seed, 7), takeOf(grade, seed + 50, 8)]) {
      expect(f(unseen, rules)).toBeGreaterThanOrEqual(f(unseen, start));
    }
  });
});
