import { beforeAll, describe, expect, it } from 'vitest';
import { checkHtml } from '../../src/commands/check/html.js';
import { checkText } from '../../src/commands/check/text.js';
import { padNames } from '../../src/instrument/pad-names.js';
import { checkUnit } from '../../src/check/check.js';
import { printedOrder } from '../../src/instrument/instrument-pads.js';
import type { Scan } from '../../src/wire/scan.js';
import { takeOf, touching, UNIT } from '../check/takes.js';
import { BASS } from '../support/bass.js';
import { faulty, STICK, stickTake, tagsOf } from './check-hands.js';

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

963 scans in 3.8 s: 250 a second, 4.0 ms apart ± 0.0 ms (nine of ten), 0 late.

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
   larger pad, then a shorter wire. A joint may have to be made again. Soldering
   and hot glue burn: leave them to trained staff where your local rules say so,
   and unplug the unit first.

1 of 3 pads are fit. Fix first: E1 pluck (dead).`);
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
      'of the gaps before them, of up to 8.0 ms, may hide a lost scan',
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
