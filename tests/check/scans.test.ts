import { describe, expect, it } from 'vitest';
import { checkUnit } from '../../src/check/check.js';
import { rateOf } from '../../src/check/findings.js';
import { timingOf, wholeScans } from '../../src/check/scans.js';
import { timingWords } from '../../src/check/words.js';
import type { Scan } from '../../src/wire/scan.js';
import { takeOf, UNIT } from './takes.js';

const timing = (scans: readonly Scan[], numbered = false) => timingOf(wholeScans(scans), numbered);

describe('how scans come', () => {
  it('is their count over time', () => {
    expect(timing(takeOf())).toMatchObject({ interval: 4_000, jitter: 0, late: 0, gaps: 0 });
  });

  it('is the same where the host looks late, as for a socket beside other work', () => {
    // Five scans in six are read 0.2 ms after their time, more each time, and the sixth makes up for it.
    const lateness = (k: number): number => 200 * (k % 6) + (k % 400 === 5 ? 3_000 : 0);
    const looked = takeOf().map((scan, k) => ({ ...scan, t: scan.t + lateness(k) }));
    const { check } = checkUnit(looked, UNIT);
    const { scans, length, interval, late, lost } = check.timing;
    expect(rateOf(check.timing)).toBeCloseTo((scans - 1) / (length / 1e6), 6);
    expect(Math.abs(interval! - 4_000)).toBeLessThan(4);
    expect({ late: late > 0 && late < 0.01 * scans, lost }).toEqual({ late: true, lost: null });
    expect(check.findings).toEqual([]);
    expect(timingWords(check)).toMatch(/: 250 a second, .* late$/);
  });

  it('leaves pauses of the board out', () => {
    const scans = takeOf().map((scan, k) => ({ ...scan, t: scan.t + (k > 300 ? 5_000_000 : 0) }));
    expect(timing(scans)).toMatchObject({ interval: 4_000, paused: 5_004_000, late: 0, gaps: 0 });
  });

  it('counts lost scans in their gaps where the wire numbers its messages', () => {
    const scans = takeOf().filter((_, k) => k !== 100 && k !== 200 && k !== 201);
    const gaps = { gaps: 2, longest: 12_000 };
    expect(timing(scans, true)).toMatchObject({ interval: 4_000, lost: 3, late: 0, ...gaps });
    expect(timing(scans, false)).toMatchObject({ lost: null, late: 2, ...gaps });
  });

  it('takes a scan that came late for late, not for lost', () => {
    const scans = takeOf().map((scan, k) => (k === 50 ? { ...scan, t: scan.t + 3_000 } : scan));
    expect(timing(scans, true)).toMatchObject({ lost: 0, late: 1, gaps: 0 });
  });

  it('tells jitter as what nine of ten intervals keep within', () => {
    const scans = takeOf().map((scan, k) => ({ ...scan, t: scan.t + (k % 2) * 1_000 }));
    // Intervals are 5 and 3 ms in turn, and 4 ms on the whole.
    expect(timing(scans).jitter).toBeCloseTo(1_000, -1);
  });

  it('puts one message a pad together, and frames that carry a part each', () => {
    const whole = takeOf();
    const single = whole.flatMap(({ t, inputs, raws }) =>
      inputs.map((input, i): Scan => {
        return { type: 'scan', t: t + 20 * i, inputs: [input], raws: [raws[i]!] };
      }),
    );
    const parts = whole.flatMap(({ t, inputs, raws }): Scan[] => [
      { type: 'scan', t, inputs: inputs.slice(0, 16), raws: raws.slice(0, 16) },
      { type: 'scan', t: t + 300, inputs: inputs.slice(16), raws: raws.slice(16) },
    ]);
    expect(wholeScans(single)).toEqual(whole);
    expect(wholeScans(parts)).toEqual(whole);
    expect(checkUnit(single, UNIT).check).toEqual(checkUnit(whole, UNIT).check);
  });

  it('leaves the empty scan at a take’s end out', () => {
    expect(wholeScans([{ type: 'scan', t: 5, inputs: [], raws: [] }])).toEqual([]);
    expect(timing([])).toMatchObject({ scans: 0, length: 0, interval: null });
  });

  it.each([
    ['all inputs once, then changes', true],
    ['changes only, from the first touch on', false],
  ])('has no rate on a wire that tells %s', (_, told) => {
    const [start, ...scans] = takeOf(undefined, QUIET);
    let last = start!.raws;
    const changes = scans.flatMap((scan): Scan[] => {
      const kept = scan.inputs.filter((_input, i) => scan.raws[i] !== last[i]);
      last = scan.raws;
      if (kept.length === 0) return [];
      return [{ ...scan, inputs: kept, raws: kept.map((input) => scan.raws[input]!) }];
    });
    const { check } = checkUnit([...(told ? [start!] : []), ...changes], { ...UNIT, full: 127 });
    expect(check.timing).toMatchObject({ interval: null, jitter: null, lost: null, late: 0 });
    expect(check.findings).toEqual([]);
    expect(check.fit).toBe(20);
    expect(check.pads[7]).toMatchObject({ rest: 0, touched: 90, touches: 1, ratio: 90 });
  });
});

const QUIET = {
  rest: Array.from({ length: 20 }, () => 0),
  span: Array.from({ length: 20 }, () => 90),
  noise: 0,
  full: 127,
};
