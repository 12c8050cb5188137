import { readFileSync } from 'node:fs';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { checkHtml } from '../../src/commands/check-html.js';
import { checkText } from '../../src/commands/check-text.js';
import { padNames } from '../../src/instrument/pad-names.js';
import type { StringsInstrument } from '../../src/instrument/types.js';
import { checkUnit } from '../../src/pads/check.js';
import { printedOrder } from '../../src/pads/check-order.js';
import { formatHeader, formatTakeLine } from '../../src/takes/take.js';
import type { Scan } from '../../src/wire/scan.js';
import {
  always,
  rewritten,
  SOUND,
  takeOf,
  touching,
  UNIT,
  withCoupling,
  withDrift,
  withHum,
  withNoise,
  withSwapped,
} from '../pads/check-takes.js';
import { BASS } from '../support/bass.js';
import { endPrograms, run, start, workFolder } from './program.js';

/** Three pads: one sound, one weak, one that was not touched. */
const STICK: StringsInstrument = {
  name: 'Stick',
  kind: 'strings',
  sound: 34,
  strings: [{ open: 28, frets: [0, 1], pluck: 2 }],
};
const STICK_FILE = `name: Stick
kind: strings
sound: 34
strings:
  - { open: E1, frets: [0, 1], pluck: 2 }
`;

/** Rests 100, 200 and 300, touches of 90 and 9 counts, and noise of exactly 3 counts on all. */
function stickTake(order = [0, 1], later = 0): Scan[] {
  const gestures = touching(order).map(({ pad, at, until, strength }) => {
    return { pad, at: at + later, until: until + later, strength };
  });
  const unit = { rest: [100, 200, 300], span: [90, 9, 90], noise: 0, full: 1_023 };
  return rewritten(takeOf(gestures, unit), (_, raw, t) => raw + [-1, 0, 2, -1][(t / 4_000) % 4]!);
}

function textOf(scans: readonly Scan[], header: object = {}): string {
  const lines = [
    formatHeader({ take: 1, inputs: scans[0]?.inputs.length ?? 3, full: 1_023, ...header }),
    ...scans.map(formatTakeLine),
  ];
  return `${lines.join('\n')}\n`;
}

/** A bass with something wrong of nearly every kind. */
function faulty(): Scan[] {
  const order = printedOrder(BASS).filter((pad) => pad !== 6);
  const span = SOUND.span.map((usual, pad) => (pad === 13 ? 60 : usual));
  const faults = [
    withHum([16], 50, 150),
    withCoupling(0, 4, 0.4),
    withDrift([9], 25),
    always(15, 0),
    withSwapped(7, 11),
    withNoise([10], 140),
  ];
  const scans = faults.reduce(rewritten, takeOf(touching(order), { ...SOUND, span }));
  return scans.filter((_, k) => k % 25 !== 7);
}

const NAMES = padNames(BASS);

describe('the report as text', () => {
  it('is a line a pad, what was found, and one line that sums up', () => {
    const unit = { instrument: STICK, wiring: [0, 1, 2], full: 1_023, build: null };
    const { check } = checkUnit(stickTake(), unit);
    // By the definition: 90 over 3 is 30:1, 9 over 3 is 3:1 (Cypress 001-64846 §2.4.1).
    expect(checkText(check, padNames(STICK)).join('\n')).toBe(`\
pad       input   rest   touch  noise   ratio  verdict
E1 fret 1     0    100     +90      3    30:1  fit
E1 fret 2     1    200      +9      3   3.0:1  weak
E1 pluck      2    300       -      3       -  dead

963 scans in 3.8 s: 250 a second, 4.0 ms apart ± 0.0 ms (nine of ten), 0 lost.

1. Dead. Readings came, but no touch was seen on E1 pluck (input 2).
   Probable cause: It was not touched, or its wire is broken between the board
   and the tape.
   Next: Touch it firmly and check again. If it stays so, press on the joint
   under the tape while somebody touches the pad: if it answers then, the joint
   is the fault. Soldering and hot glue burn: leave them to trained staff where
   your local rules say so, and unplug the unit first.

2. Weak. A touch moves them too little for their noise (5:1 is the least):
   E1 fret 2 (3.0:1, 9 over 3 counts).
   Probable cause: A cover layer that is too thick or not flat, a small pad, a
   long wire, a poor joint, or a finger that only brushed it.
   Next: Touch it firmly and check again. If it stays: a thinner cover, then a
   larger pad, then a shorter wire. A joint may have to be made anew. Soldering
   and hot glue burn: leave them to trained staff where your local rules say so,
   and unplug the unit first.

1 of 3 pads are fit. Mend first: E1 pluck (dead).`);
  });

  it('fits 80 columns and names what is wrong, however much it is', () => {
    const lines = checkText(checkUnit(faulty(), UNIT).check, NAMES);
    for (const line of lines) expect(line.length).toBeLessThanOrEqual(80);
    const text = lines.join('\n').replace(/\s+/g, ' ');
    for (const part of [
      'E1 fret 2 and E1 fret 3 answered for each other',
      'G2 fret 2 (40 % from G2 fret 1)',
      'noisy (50 Hz hum)',
      'on E1 fret 4 (input 15, 0)',
      'on A1 fret 2 (input 6)',
      'scans (4.0 %) did not arrive',
    ]) {
      expect(text).toContain(part);
    }
  });

  it('never speaks of solder or glue without trained staff and local rules', () => {
    const { check } = checkUnit(faulty(), UNIT);
    const findings = checkText(check, NAMES).join('\n').split('\n\n');
    const hot = findings.filter((part) => /solder|glue/i.test(part));
    expect(hot.length).toBeGreaterThan(3);
    for (const part of hot) {
      expect(part.replace(/\s+/g, ' ')).toContain('trained staff where your local rules say so');
    }
  });
});

/** Every tag of a page with what it stands in; throws where one is closed that is not open. */
function tagsOf(html: string): { name: string; attributes: string; within: string[] }[] {
  const open: string[] = [];
  const tags: { name: string; attributes: string; within: string[] }[] = [];
  const text = html.replace(/<style>[\s\S]*?<\/style>/, '<style></style>');
  for (const [, slash, name = '', attributes = ''] of text.matchAll(/<(\/?)([\w!]+)([^>]*)>/g)) {
    if (name === '!doctype') continue;
    if (slash === '/') {
      const last = open.pop();
      if (last !== name) throw new Error(`</${name}> closes <${last ?? 'nothing'}>`);
      continue;
    }
    tags.push({ name, attributes, within: [...open] });
    if (!attributes.endsWith('/')) open.push(name);
  }
  if (open.length > 0) throw new Error(`left open: ${open.join(', ')}`);
  return tags;
}

describe('the report as a page', () => {
  const page = (scans: readonly Scan[], unit = 'north', names = NAMES): string =>
    checkHtml(checkUnit(scans, UNIT), names, { unit, instrument: 'bass' }, '2026-03-14');
  let html = '';
  beforeAll(() => (html = page(faulty())));

  it('is balanced, and so is one of a unit without faults or of a single scan', () => {
    expect(tagsOf(html).length).toBeGreaterThan(500);
    expect(tagsOf(page(takeOf())).length).toBeGreaterThan(500);
    expect(tagsOf(page(takeOf().slice(0, 1))).length).toBeGreaterThan(500);
    expect(() => tagsOf('<p><b></p></b>')).toThrow();
  });

  it('holds no number that is none', () => {
    for (const scans of [faulty(), takeOf().slice(0, 1)]) {
      expect(page(scans).replace(/<style>[\s\S]*<\/style>/, '')).not.toMatch(
        /NaN|Infinity|undefined/,
      );
    }
  });

  it('has a drawing a pad and one of all ratios, each with a title and a description', () => {
    const drawings = tagsOf(html).filter(({ name }) => name === 'svg');
    expect(drawings.filter((one) => one.attributes.includes('class="pad-plot"'))).toHaveLength(20);
    expect(drawings.filter((one) => one.attributes.includes('class="ratio-chart"'))).toHaveLength(
      1,
    );
    const ids = [...html.matchAll(/ id="([^"]+)"/g)].map(([, id]) => id!);
    expect(new Set(ids).size).toBe(ids.length);
    for (const { attributes } of drawings) {
      expect(attributes).toContain('role="img"');
      const named = / aria-labelledby="([^"]+)"/.exec(attributes)![1]!.split(' ');
      expect(named).toHaveLength(2);
      for (const id of named) expect(ids).toContain(id);
    }
    expect(html).toMatch(/<desc id="pad-plot-13-desc">Readings over 14\.\d seconds: rest 1000, /);
  });

  it('fetches nothing and runs nothing', () => {
    expect(html).not.toMatch(/<(script|link|img|iframe|object|embed|base|form)\b/i);
    expect(html).not.toMatch(
      /https?:|\/\/[a-z]|url\(|@import|\ssrc=|\shref=|\son\w+=|javascript:/i,
    );
    expect(html).toContain('default-src &#39;none&#39;');
  });

  it('shows the neighbours with their figures', () => {
    expect(html).toContain(
      'title="G2 fret 2 moves by 40 % when G2 fret 1 is touched"><b>40</b></td>',
    );
  });

  it('says by a mark and a word what its colours say, by day, by night and in print', () => {
    for (const [mark, words] of [
      ['✗', 'weak'],
      ['✗', 'swapped'],
      ['✓', 'fit'],
    ]) {
      expect(html).toContain(`>${mark!} ${words!}`);
    }
    expect(html).toContain('@media (prefers-color-scheme: dark)');
    expect(html).toContain('@media print');
    expect(html).toContain('<html lang="en">');
  });

  it('writes names as text, whatever is in them', () => {
    const names = NAMES.map((name, pad) => (pad === 0 ? '<b>&"\'' : name));
    const odd = page(faulty(), '"><script>', names);
    tagsOf(odd);
    expect(odd).not.toMatch(/<script|<b>&"/);
    expect(odd).toContain('&#60;b&#62;&#38;&#34;&#39;');
  });

  it('stays small with a long take', () => {
    const long = takeOf(touching(Array.from({ length: 6 }, () => printedOrder(BASS)).flat()));
    expect(long.length).toBeGreaterThan(18_000);
    expect(page(long).length).toBeLessThan(700_000);
  });
});

describe('pluckwork check', () => {
  const folder = workFolder();
  beforeAll(() => {
    folder.write('instruments/stick.yaml', STICK_FILE);
    folder.write('stick.take.jsonl', textOf(stickTake(), { instrument: 'stick' }));
  });
  afterAll(() => {
    endPrograms();
    folder.remove();
  });
  const check = (...args: string[]) => run(['check', ...args], folder.path);

  it('judges a take, and ends well although pads are unfit', async () => {
    const { code, out, err } = await check('--take', 'stick.take.jsonl');
    expect({ code, err }).toEqual({ code: 0, err: '' });
    expect(out).toContain('E1 fret 2     1    200      +9      3   3.0:1  weak\n');
    expect(out.trimEnd().split('\n').at(-1)).toBe(
      '1 of 3 pads are fit. Mend first: E1 pluck (dead).',
    );
  });

  it('writes one object, and a page beside it', async () => {
    const { code, out, err } = await check(
      ...['--take', 'stick.take.jsonl', '--json', '--html', 'page.html'],
    );
    expect(code).toBe(0);
    expect(err).toContain('page.html');
    const report = JSON.parse(out) as Record<string, unknown>;
    expect(report).toMatchObject({
      check: 1,
      unit: 'stick.take.jsonl',
      instrument: 'Stick',
      line: 5,
      fit: 1,
      of: 3,
      scans: { count: 963, rate: 250, interval: 4_000, jitter: 0, lost: 0, gaps: 0, longest: 0 },
      spareInputs: [],
      swapped: [],
      elsewhere: [],
      summary: '1 of 3 pads are fit. Mend first: E1 pluck (dead).',
    });
    expect(report.pads).toMatchObject([
      {
        pad: 0,
        name: 'E1 fret 1',
        inputs: [0],
        touches: 1,
        noise: 3,
        ratio: expect.closeTo(30, 1) as number,
        verdicts: [],
      },
      {
        pad: 1,
        ratio: expect.closeTo(3, 1) as number,
        verdicts: [{ kind: 'weak', why: null, grade: 'mend' }],
      },
      { pad: 2, touched: null, ratio: null, verdicts: [{ kind: 'dead', why: 'untouched' }] },
    ]);
    expect(report.findings).toMatchObject([
      { kind: 'dead', pads: [2], title: 'Dead' },
      { kind: 'weak', pads: [1], title: 'Weak' },
    ]);
    const html = readFileSync(`${folder.path}/page.html`, 'utf8');
    expect(tagsOf(html).filter(({ name }) => name === 'svg')).toHaveLength(4);
  });

  it('fails in words where there is nothing to judge', async () => {
    folder.write('empty.take.jsonl', textOf([], { instrument: 'stick' }));
    const empty = await check('--take', 'empty.take.jsonl');
    expect(empty).toMatchObject({ code: 1, out: '' });
    expect(empty.err).toContain('error: no readings came from empty.take.jsonl');
    const decided = { instrument: 'stick', decided: true };
    folder.write('decided.take.jsonl', textOf(stickTake(), decided));
    const own = await check('--take', 'decided.take.jsonl');
    expect(own.code).toBe(1);
    expect(own.err).toContain('its board decided itself what was a touch');
    const nowhere = await check('--take', 'stick.take.jsonl', '--html', 'no/such/page.html');
    expect(nowhere.code).toBe(1);
    expect(nowhere.err).toContain('no/such/page.html: there is no such file');
  });

  it('wants a room or a take, and each option where it belongs', async () => {
    expect(await check()).toMatchObject({ code: 2 });
    expect(await check('demo', '--take', 'stick.take.jsonl')).toMatchObject({ code: 2 });
    expect(await check('demo', '--build', 'north')).toMatchObject({ code: 2 });
    expect(await check('--take', 'stick.take.jsonl', '--seat', 'a')).toMatchObject({ code: 2 });
  });

  it('asks for the touches of a live unit, and judges when all were seen', async () => {
    folder.write(
      'live.take.jsonl',
      textOf(stickTake([0, 1, 2], 1_500_000), { instrument: 'stick' }),
    );
    folder.write(
      'rooms/class.yaml',
      `seats:
  - { name: north, instrument: stick, from: { take: live.take.jsonl } }
to:
  - midi: { virtual: nobody }
`,
    );
    const { code, out, err } = await check('class');
    expect(code).toBe(0);
    expect(err).toContain('Let go of all pads of north');
    expect(err).toContain(
      'Now touch every pad once, firmly, in the printed order: E1 fret 1 to 2, E1 pluck, then the next string',
    );
    expect(out).toContain('E1 pluck      2    300     +90      3    30:1  fit');
    expect(out).toContain('2 of 3 pads are fit. Mend first: E1 fret 2 (weak).');
  }, 30_000);

  it('judges what it has when told to stop', async () => {
    const program = start(['check', 'class'], folder.path);
    await program.saw(/Now touch every pad/);
    program.signal('SIGINT');
    const { code, out } = await program.ended;
    expect(code).toBe(0);
    expect(out).toContain('pads are fit');
  }, 30_000);
});
