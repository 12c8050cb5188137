import { readFileSync } from 'node:fs';
import { join } from 'node:path';
import { afterAll, afterEach, beforeAll, describe, expect, it } from 'vitest';
import { compareTake } from './compare-hands.js';
import { endPrograms, run, workFolder, type Ended } from './program.js';

const folder = workFolder();
const compare = (...args: string[]): Promise<Ended> => run(['compare', ...args], folder.path);
const text = (name: string): string => readFileSync(join(folder.path, name), 'utf8');

interface Side {
  readonly rules: string;
  readonly notes: number;
  readonly score: Record<string, number> | null;
}
interface Report {
  readonly compare: number;
  readonly a: Side;
  readonly b: Side;
  readonly rules: readonly Record<string, unknown>[];
  readonly alike: number;
  readonly counts: Readonly<Record<string, number>>;
  readonly differences: readonly {
    readonly t: number;
    readonly string: number;
    readonly a: Record<string, unknown> | null;
    readonly b: Record<string, unknown> | null;
    readonly changes: readonly { readonly kind: string; readonly by: number | null }[];
    readonly verdict: { readonly right: string; readonly nearer: object } | null;
  }[];
}

async function json(...args: string[]): Promise<Report> {
  const { code, out, err } = await compare('hand.take.jsonl', ...args, '--json', '-');
  expect({ code, err }).toEqual({ code: 0, err: '' });
  expect(out.trim().split('\n')).toHaveLength(1);
  return JSON.parse(out) as Report;
}

/** Compares plain with one that differs in what is written. */
function against(rules: string, ...more: string[]): Promise<Report> {
  folder.write('other.yaml', `name: other\n${rules}\n`);
  return json('--rules', 'plain', '--rules', './other.yaml', ...more);
}

beforeAll(() => {
  folder.write('hand.take.jsonl', compareTake());
});
afterEach(endPrograms);
afterAll(folder.remove);

describe('compare', () => {
  it.each<[string, string, Record<string, number>, unknown]>([
    ['an open string that rings 1 s, not 4', 'strings: { ring: 1s }', { shorter: 1 }, 3_000_000],
    ['the lower of two frets', 'strings: { stop: lowest }', { pitch: 1 }, -2],
    ['a hammer-on', 'strings: { hammer-on: true }', { added: 1, shorter: 1 }, undefined],
    ['all as soft', 'velocity: { hardest: 20 }', { softer: 6 }, undefined],
    ['a longer look at the strength', 'strength: { readings: 3 }', { later: 5 }, 8_000],
  ])('finds %s', async (_name, rules, counts, by) => {
    const report = await against(rules);
    const found = Object.entries(report.counts).filter(([, count]) => count > 0);
    expect(Object.fromEntries(found)).toMatchObject(counts);
    const [key] = Object.keys(counts);
    const change = report.differences
      .flatMap((one) => one.changes)
      .find(({ kind }) => kind === key);
    if (by !== undefined) expect(change!.by).toBe(by);
    expect(report.alike + report.differences.length).toBe(report.counts.added! + 6);
    expect(report).toMatchObject({ compare: 1, a: { rules: 'plain', notes: 6, score: null } });
  });

  it('is the other way round with the rules exchanged', async () => {
    folder.write('hammer.yaml', 'name: hammer\nstrings:\n  hammer-on: true\n');
    const report = await json('--rules', './hammer.yaml', '--rules', 'plain');
    expect(report.counts).toMatchObject({ missed: 1, added: 0, longer: 1, shorter: 0 });
    const missed = report.differences.find(({ b }) => b === null)!;
    // Fret 4 of G2 (43) is B2 (47), pressed at 10.3 s.
    expect(missed.a).toMatchObject({ note: 47, string: 0, fret: 4, how: 'hammer' });
    expect(missed.t).toBeGreaterThanOrEqual(10_300_000);
    expect(missed.t).toBeLessThan(10_320_000);
    expect(report.rules).toEqual([
      {
        key: 'strings.hammer-on',
        a: 'true',
        b: 'false',
        matters: true,
        about: 'A fret pressed on a sounding string changes its note.',
      },
    ]);
  });

  it('takes the rules of the take for A where only B is given', async () => {
    folder.write('named.take.jsonl', compareTake({ rules: 'legato' }));
    const { code, out } = await compare('named.take.jsonl', '--rules', 'plain');
    expect(code).toBe(0);
    expect(out).toMatch(/^A {2}legato +7 notes\nB {2}plain +6 notes\n/);
  });

  it('takes notes as the same that one rule set only puts off, unless it is told how far', async () => {
    // The wait for strengths counts in: 24 ms, so 74 ms in all.
    const report = await against('strength: { readings: 3 }');
    expect(report).toMatchObject({ window: 74_000, counts: { missed: 0, later: 5 } });
    const strict = await against('strength: { readings: 3 }', '--apart', '5ms');
    expect(strict).toMatchObject({ window: 5_000, counts: { missed: 5, added: 5, later: 0 } });
  });

  it('says in plain words what, where, when, and by which rules', async () => {
    folder.write('low.yaml', 'name: low\nstrings:\n  stop: lowest\nkeys:\n  ring-on: 20ms\n');
    const { code, out, err } = await compare(
      'hand.take.jsonl',
      '--rules',
      'plain',
      '--rules',
      './low.yaml',
    );
    expect({ code, err }).toEqual({ code: 0, err: '' });
    // Fret 3 of A1 (33) is C2 (36), fret 1 is A#1 (34).
    expect(out).toContain('B plays 1 note at another pitch. 5 notes are alike.\n');
    expect(out).toMatch(/^ {2}other pitch +1 {3}at another pitch in B: 2 semitones$/m);
    expect(out).toMatch(/^ {2}strings\.stop +highest +lowest +Which of several held frets/m);
    expect(out).toMatch(
      /^ {2}keys\.ring-on +\S+ +20ms +No part in this take: strings are played\.$/m,
    );
    expect(out).toMatch(/where:\n +6\.10\d s {2}A1 fret 3 {2}C2 {2}A#1 instead of C2\n$/);
  });

  it('says that both sound the same, and that the rules do', async () => {
    const same = await compare('hand.take.jsonl', '--rules', 'plain', '--rules', 'plain');
    expect(same.out).toContain('A and B sound the same: all 6 notes.\n');
    expect(same.out).toContain('No rule differs');
    folder.write('idle.yaml', 'name: idle\nkeys:\n  ring-on: 20ms\n');
    const idle = await compare('hand.take.jsonl', '--rules', 'plain', '--rules', './idle.yaml');
    expect(idle.out).toContain('A and B sound the same: all 6 notes.\n');
    expect(idle.out).not.toContain('No rule differs');
    expect(idle.out).not.toContain('where');
  });

  it('calls two rule sets of one name as they were asked for', async () => {
    folder.write('mine.yaml', 'name: plain\nstrings:\n  stop: lowest\n');
    const { out } = await compare('hand.take.jsonl', '--rules', 'plain', '--rules', './mine.yaml');
    expect(out).toMatch(/^A {2}plain {7}.*\nB {2}\.\/mine\.yaml /);
  });

  it('lists only what is looked at, and counts the whole take', async () => {
    folder.write('soft.yaml', 'name: soft\nvelocity:\n  hardest: 100\n');
    const asked = ['hand.take.jsonl', '--rules', 'plain', '--rules', './soft.yaml'];
    const listed = async (...window: string[]): Promise<number> => {
      const { out } = await compare(...asked, ...window);
      expect(out).toContain('softer          6');
      return out
        .split(/^where.*$/m)[1]!
        .trim()
        .split('\n').length;
    };
    expect(await listed('--from', '7s', '--to', '9s')).toBe(3);
    expect(await listed('--at', '10s')).toBe(4);
    const { out } = await compare(...asked, '--from', '3s', '--to', '4s');
    expect(out).toContain('where, from 3.000 s to 4.000 s: nothing differs');
  });

  it('counts what is more than fits a screen', async () => {
    const many = Array.from({ length: 30 }, (_, i) => 500 + 120 * i);
    const scans = many.flatMap((at) => [
      `[${String(at * 1000)},16,100]`,
      `[${String((at + 60) * 1000)},16,0]`,
    ]);
    const header = '{"take":1,"inputs":20,"full":127,"decided":true,"instrument":"bass-4x4"}';
    folder.write('many.take.jsonl', `${[header, ...scans].join('\n')}\n`);
    folder.write('soft.yaml', 'name: soft\nvelocity:\n  hardest: 100\n');
    const { out } = await compare('many.take.jsonl', '--rules', 'plain', '--rules', './soft.yaml');
    expect(out).toMatch(/^A {2}plain +30 notes$/m);
    expect(out).toContain('  and 10 more, which --html and --json show\n');
  });
});

describe('compare, with wanted notes,', () => {
  const WANTED = [
    { t: 1_000_000, type: 'on', note: 28 },
    { t: 6_100_000, type: 'on', note: 34 },
    { t: 8_000_000, type: 'on', note: 34 },
    { t: 8_000_000, type: 'on', note: 39 },
    { t: 8_000_000, type: 'on', note: 44 },
    { t: 10_000_000, type: 'on', note: 45 },
  ];

  it('scores both sides and says of each difference which one is right', async () => {
    folder.write('wanted.jsonl', WANTED.map((one) => `${JSON.stringify(one)}\n`).join(''));
    const rules = 'strings: { stop: latest, hammer-on: true }';
    const { a, b, differences } = await against(rules, '--wanted', 'wanted.jsonl');
    // By the definition F = 2 · right / (played + wanted): A has one wrong, B one too many.
    expect(a.score).toMatchObject({ right: 5, missed: 1, added: 1 });
    expect(a.score!.f).toBeCloseTo(10 / 12, 12);
    expect(b.score).toMatchObject({ right: 6, missed: 0, added: 1 });
    expect(b.score!.f).toBeCloseTo(12 / 13, 12);
    const verdicts = differences.map(({ changes, verdict }) => [changes[0]!.kind, verdict!.right]);
    expect(verdicts).toEqual([
      ['pitch', 'B'],
      ['shorter', 'both'],
      ['added', 'A'],
    ]);
    const { out } = await compare(
      ...['hand.take.jsonl', '--rules', 'plain', '--rules', './other.yaml'],
      ...['--wanted', 'wanted.jsonl'],
    );
    expect(out).toMatch(/^A .*F 0\.833: 5 of 6 wanted notes right, 1 not wanted$/m);
    expect(out).toMatch(/^B .*F 0\.923: 6 of 6 wanted notes right, 1 not wanted$/m);
    expect(out).toMatch(/A#1 instead of C2 +B is right$/m);
    expect(out).toMatch(/added in B +A is right$/m);
  });

  it('agrees with score', async () => {
    const scored = await run(
      ['score', 'hand.take.jsonl', '--wanted', 'wanted.jsonl', '--rules', './other.yaml', '--json'],
      folder.path,
    );
    const { b } = await json(
      '--rules',
      'plain',
      '--rules',
      './other.yaml',
      '--wanted',
      'wanted.jsonl',
    );
    const { f, right } = JSON.parse(scored.out) as { f: number; right: number };
    expect(b.score).toMatchObject({ f, right });
  });
});

describe('compare writes', () => {
  it('the JSON to a file beside the words, the same as to standard output', async () => {
    const two = ['--rules', 'plain', '--rules', 'legato'];
    const { out, code } = await compare('hand.take.jsonl', ...two, '--json', 'deep/er.json');
    expect(code).toBe(0);
    expect(out).toMatch(/^A {2}plain/);
    const alone = await compare('hand.take.jsonl', ...two, '--json', '-');
    expect(text('deep/er.json')).toBe(alone.out);
  });

  it('the page, the same one each time, and says where it is', async () => {
    const two = ['--rules', 'plain', '--rules', 'legato'];
    const { code, err } = await compare('hand.take.jsonl', ...two, '--html', '1.html');
    expect(code).toBe(0);
    expect(err).toContain('The page is in 1.html');
    await compare('hand.take.jsonl', ...two, '--html', '2.html');
    expect(text('2.html')).toBe(text('1.html'));
    expect(text('1.html')).toMatch(/^<!doctype html>\n/);
  });

  it('nothing where it cannot, and says so', async () => {
    folder.write('file', '');
    const { code, err } = await compare(
      ...['hand.take.jsonl', '--rules', 'plain', '--rules', 'legato', '--html', 'file/page.html'],
    );
    expect(code).toBe(1);
    expect(err).toMatch(/file\/page\.html: a file is where a folder must be/);
  });
});

describe('compare, given something wrong,', () => {
  const two = ['--rules', 'plain', '--rules', 'legato'];

  it.each([
    [[...two], /the take is missing/],
    [['hand.take.jsonl'], /--rules is missing: give it twice/],
    [['hand.take.jsonl', ...two, '--rules', 'instant'], /give --rules twice/],
    [['hand.take.jsonl', ...two, '--apart', '2s'], /--apart takes at most 1s/],
    [['hand.take.jsonl', ...two, '--at', '5'], /--at takes a time with its unit, such as 12\.5s/],
    [['hand.take.jsonl', ...two, '--at', '13s'], /after the end of the take, at 12\.000 s/],
    [['hand.take.jsonl', ...two, '--from', '2s', '--to', '2s'], /--to must be later than --from/],
    [['hand.take.jsonl', ...two, '--at', '2s', '--to', '2s'], /give --at, or --from and --to/],
  ])('called as %j says what is wrong', async (args, words) => {
    const { code, out, err } = await compare(...args);
    expect({ code, out }).toEqual({ code: 2, out: '' });
    expect(err).toMatch(words);
    expect(err).toContain('pluckwork compare --help');
  });

  it.each([
    ['missing.jsonl', two, /missing\.jsonl: there is no such file/],
    ['hand.take.jsonl', ['--rules', 'plain', '--rules', 'nope'], /nope: found no such file/],
    [
      'hand.take.jsonl',
      [...two, '--wanted', 'hand.take.jsonl'],
      /this is a take, not wanted notes/,
    ],
    ['made.take.jsonl', two, /made on another computer/],
    ['room.take.jsonl', two, /whole room; choose a seat with --seat: north, south/],
  ])('fails with %s %j', async (take, args, words) => {
    folder.write('made.take.jsonl', compareTake({ made: true }));
    const seat = { inputs: 10, full: 127, instrument: 'bass-4x4' };
    const seats = [
      { ...seat, name: 'north', first: 0 },
      { ...seat, name: 'south', first: 10 },
    ];
    const room = { take: 1, inputs: 20, full: 127, room: { seats } };
    folder.write('room.take.jsonl', `${JSON.stringify(room)}\n[0]\n`);
    const { code, out, err } = await compare(take, ...args);
    expect({ code, out }).toEqual({ code: 1, out: '' });
    expect(err).toMatch(words);
  });

  it('tells of a bad line once, though it runs the take twice', async () => {
    folder.write('torn.take.jsonl', `${compareTake()}[1200`);
    const { code, err } = await compare('torn.take.jsonl', ...two);
    expect(code).toBe(0);
    expect(err.trim().split('\n')).toEqual([expect.stringContaining('the last line is cut off')]);
  });

  it('tells once of pads that no input reaches', async () => {
    const bare = '{"take":1,"inputs":12,"full":16383,"instrument":"bass-4x4"}\n[0,0,900]\n';
    folder.write('bare.take.jsonl', bare);
    const asked = ['--instrument', 'keys-13', '--rules', 'instant'];
    const { err } = await compare('bare.take.jsonl', ...asked);
    expect(err).toMatch(/^warning: .* has 13 pads .*\. Pad 12, counted from 0, stays silent\.\n$/);
  });

  it('compares nothing with nothing', async () => {
    folder.write('empty.take.jsonl', '{"take":1,"inputs":20,"full":127,"instrument":"bass-4x4"}\n');
    const { code, out } = await compare('empty.take.jsonl', ...two, '--html', 'empty.html');
    expect(code).toBe(0);
    expect(out).toContain('Neither plays a note.');
    expect(text('empty.html')).not.toMatch(/NaN|Infinity|undefined/);
  });
});
