import { describe, expect, it } from 'vitest';
import { PLAIN } from '../../src/instrument/rules.js';
import type { Rules } from '../../src/instrument/types.js';
import { fitKeys, valueOf, withKeysOf, withValue } from '../../src/fit/keys.js';
import { search } from '../../src/fit/search.js';
import { readingsOf, type Gesture } from '../../src/demo/gestures.js';
import type { ListedNote } from '../../src/takes/read-notes.js';
import { BASS } from '../support/bass.js';
import { planOf, shipped } from '../support/kinds.js';
import { judgeOf, madeUp, mark, notesBy, type MadeTake } from './hands.js';
import { note } from '../score/notes.js';

const keys = fitKeys('strings');
const first = (count: number, from = 0): number[] =>
  Array.from({ length: count }, (_, i) => from + i);
const task = { start: PLAIN, keys, brief: false, timeLeft: () => true };
const withAll = (changes: Readonly<Record<string, number | string | boolean | null>>): Rules =>
  Object.entries(changes).reduce((rules, [key, value]) => withValue(rules, key, value)!, PLAIN);

describe('keys', () => {
  it('are those of the kind, and velocity only where notes carry velocities', () => {
    const names = (of: ReturnType<typeof fitKeys>): string[] => of.map(({ key }) => key);
    expect(names(fitKeys('hits'))).toEqual([
      ...['touch.on', 'touch.off', 'touch.lift', 'strength.readings', 'strength.within'],
      'hits.mask',
    ]);
    expect(names(fitKeys('holes'))).toContain('holes.settle');
    expect(names(keys).filter((key) => key.startsWith('velocity'))).toEqual([]);
    expect(names(fitKeys('keys', { velocities: true }))).toContain('velocity.curve');
    expect(names(fitKeys('keys', { decided: true }))).toEqual(['touch.lift']);
  });

  it('keep rules such as a file may have: the lower threshold goes down with the upper one', () => {
    expect(withValue(PLAIN, 'touch.on', 0.05)!.touch).toEqual({
      ...PLAIN.touch,
      on: 0.05,
      off: 0.03,
    });
    expect(withValue(PLAIN, 'touch.off', 0.3)).toBeNull();
    const high = withAll({ 'touch.on': 0.6, 'touch.off': 0.5, 'strings.brush': null });
    expect(withKeysOf(PLAIN, high, keys)).toEqual(high);
    expect(withKeysOf(high, PLAIN, keys)).toEqual(PLAIN);
  });
});

describe('a search', () => {
  it('leaves everything as it is where nothing makes a difference', async () => {
    const start = withAll({ 'touch.on': 0.3, 'strings.brush': null, 'strings.slide': true });
    const { judge, blocks } = madeUp(3, () => mark([1, 2, 3]));
    expect(await search(judge, { ...task, start, blocks })).toEqual(start);
  });

  it('turns one bad key back, and no other', async () => {
    const start = withAll({ 'touch.lift': 90_000, 'strings.brush': 90_000, 'touch.on': 0.3 });
    const { judge, blocks } = madeUp(3, ({ touch }) => mark(first(touch.lift > 60_000 ? 30 : 0)));
    const found = await search(judge, { ...task, start, blocks });
    expect(found).toEqual(withValue(start, 'touch.lift', PLAIN.touch.lift));
  });

  it('finds a value that neither the start nor plain has, well within what is good', async () => {
    // Every step of the grid between 0.3 and 0.65 is as good as 0.4.
    const { judge, blocks } = madeUp(3, ({ touch: { on } }) =>
      mark(first(on < 0.28 || on > 0.6 ? 12 : 0)),
    );
    const found = await search(judge, { ...task, blocks });
    expect(found.touch.on).toBe(0.4);
  });

  it('fixes two keys of which one alone shows nothing', async () => {
    const start = withAll({ 'strings.late-fret': null, 'strings.wait-for-fret': 'never' });
    const { judge, blocks } = madeUp(3, ({ strings }) =>
      mark(first(strings['late-fret'] !== null && strings['wait-for-fret'] === 'always' ? 0 : 20)),
    );
    const { strings } = await search(judge, { ...task, start, blocks });
    expect(strings['late-fret']).not.toBeNull();
    expect(strings['wait-for-fret']).toBe('always');
  });

  it('does not believe in a single note, nor in what breaks as much as it fixes', async () => {
    const one = madeUp(3, ({ strings }, take) =>
      mark(take === 0 && strings['early-lift'] !== 50_000 ? [1] : []),
    );
    expect(await search(one.judge, { ...task, blocks: one.blocks })).toEqual(PLAIN);
    const swap = madeUp(3, ({ strings }) =>
      mark(strings.brush === 60_000 ? first(9) : first(10, 50)),
    );
    expect(await search(swap.judge, { ...task, blocks: swap.blocks })).toEqual(PLAIN);
  });

  it('lets notes begin sooner where none is lost by it, but not for less than it can be felt', async () => {
    const start = withAll({ 'strings.wait-for-fret': 'always' });
    const { judge, blocks } = madeUp(3, ({ strings }) =>
      mark([], 0, strings['wait-for-fret'] === 'always' ? 22 : strings.brush === null ? 8.5 : 9),
    );
    expect(await search(judge, { ...task, start, blocks })).toEqual(PLAIN);
  });

  it('never hammers on where no note was missed for want of it', async () => {
    // It begins notes sooner, and a few that nobody wanted are gone: neither is what it is for.
    const { judge, blocks } = madeUp(3, ({ strings }) =>
      mark([], strings['hammer-on'] ? 0 : 6, strings['hammer-on'] ? 5 : 12),
    );
    expect((await search(judge, { ...task, blocks })).strings['hammer-on']).toBe(false);
    const missing = madeUp(3, ({ strings }) => mark(first(strings['hammer-on'] ? 0 : 6)));
    const found = await search(missing.judge, { ...task, blocks: missing.blocks });
    expect(found.strings['hammer-on']).toBe(true);
  });

  it('does not give up telling soft from hard for a start that is hardly sooner', async () => {
    const of = (rank: number | null) => (rules: Rules) =>
      mark([], 0, 4 * rules.strength.readings, rank === null ? (null as never) : rank);
    const soft = madeUp(3, (rules) => ({ ...of(rules.strength.readings > 0 ? 0.95 : 0.7)(rules) }));
    expect(await search(soft.judge, { ...task, blocks: soft.blocks })).toEqual(PLAIN);
    // Where nobody said how hard notes were meant, how hard they are told is nobody's business.
    const untold = madeUp(3, (rules) => ({ ...of(null)(rules), rank: null }));
    expect(await search(untold.judge, { ...task, blocks: untold.blocks })).toEqual(PLAIN);
  });

  it('stops where the time is over, with rules no worse than those it had', async () => {
    const { judge, blocks } = madeUp(3, ({ touch }) => mark(first(touch.lift > 60_000 ? 30 : 0)));
    const start = withAll({ 'touch.lift': 90_000 });
    const found = await search(judge, { ...task, start, blocks, timeLeft: () => false });
    expect(valueOf(found, 'touch.lift')).toBe(24_000);
  });
});

/** Milliseconds to microseconds. */
const ms = (value: number): number => 1_000 * value;

describe('takes whose best value is known by how they were made', () => {
  /** Hits that bounce 30 to 45 ms after, and rolls with 70 ms from hit to hit. */
  function drums(seed: number): MadeTake {
    const instrument = shipped('drums-6');
    const gestures: Gesture[] = [];
    const wanted: ListedNote[] = [];
    const tap = (pad: number, at: number, lasts: number): void => {
      gestures.push({ pad, at: ms(at), until: ms(at + lasts), strength: 0.9 });
    };
    for (let i = 0; i < 24; i++) {
      const [at, drum] = [1_500 + 500 * i, i % 2 === 0 ? 36 : 38];
      const roll = i % 3 === 0;
      tap(i % 2, at, 12);
      tap(i % 2, at + (roll ? 70 : 30 + ((5 * i + seed) % 16)), 12);
      wanted.push(note(at, null, drum), ...(roll ? [note(at + 70, null, drum)] : []));
    }
    const unit = { rest: [900, 950, 1000, 900, 950, 1000], span: [700, 800, 600, 700, 800, 600] };
    const scans = [...readingsOf(gestures, { ...unit, noise: 8, full: 16_383 }, ms(14_500), seed)];
    return { scans, plan: planOf(instrument), wanted };
  }

  it('gives a mask between the longest bounce and the quickest roll', async () => {
    const takes = [drums(1), drums(2)];
    // A lift that is quick enough to hear every tap, and a mask that hears each bounce as a hit.
    const start = [
      ['touch.lift', ms(8)],
      ['hits.mask', ms(10)],
    ].reduce<Rules>((rules, [key, value]) => withValue(rules, key as string, value!)!, PLAIN);
    const { judge, blocks } = judgeOf(takes);
    const only = fitKeys('hits').filter(({ key }) => key === 'hits.mask');
    const found = await search(judge, { ...task, start, keys: only, blocks });
    // Scans are 4 ms apart, so that two hits 45 ms apart are read up to 49 ms apart.
    expect(found.hits.mask).toBeGreaterThan(ms(49));
    expect(found.hits.mask).toBeLessThan(ms(70));
    for (const take of takes) expect(notesBy(take, found)).toHaveLength(take.wanted.length);
  });

  it('gives a threshold under the softest touch', async () => {
    const plucks = Array.from({ length: 40 }, (_, i) => ({
      string: i % 4,
      at: 1_500 + 300 * i,
      strength: i % 4 === 3 ? 0.14 : 0.8,
    }));
    const pads = first(20);
    const take = (seed: number): MadeTake => ({
      scans: [
        ...readingsOf(
          plucks.map(({ string, at, strength }) => ({
            pad: BASS.strings[string]!.pluck,
            at: ms(at),
            until: ms(at + 80),
            strength,
          })),
          { rest: pads.map(() => 900), span: pads.map(() => 800), noise: 6, full: 16_383 },
          ms(14_500),
          seed,
        ),
      ],
      plan: planOf(BASS, PLAIN, {
        wiring: pads,
        pads: pads.map(() => ({ rest: 900, span: 800, noise: 6, coupling: [] })),
      }),
      wanted: plucks.map(({ string, at }) => note(at, null, BASS.strings[string]!.open)),
    });
    const takes = [take(1), take(2)];
    const { judge, blocks } = judgeOf(takes);
    const start = withValue(PLAIN, 'touch.on', 0.5)!;
    const found = await search(judge, { ...task, start, keys, blocks });
    expect(found.touch.on).toBeLessThan(0.14);
    for (const one of takes) expect(notesBy(one, found)).toHaveLength(40);
  });
});
