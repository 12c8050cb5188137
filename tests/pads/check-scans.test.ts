import { describe, expect, it } from 'vitest';
import { checkUnit } from '../../src/pads/check.js';
import { timingOf, wholeScans } from '../../src/pads/check-scans.js';
import type { Scan } from '../../src/wire/scan.js';
import { takeOf, UNIT } from './check-takes.js';

const timing = (scans: readonly Scan[]) => timingOf(wholeScans(scans));

describe('how scans come', () => {
  it('is told by the middle interval', () => {
    expect(timing(takeOf())).toMatchObject({ interval: 4_000, jitter: 0, lost: 0, gaps: 0 });
  });

  it('counts lost scans in their gaps', () => {
    const scans = takeOf().filter((_, k) => k !== 100 && k !== 200 && k !== 201);
    expect(timing(scans)).toMatchObject({ interval: 4_000, lost: 3, gaps: 2, longest: 12_000 });
  });

  it('takes a scan that came late for late, not for lost', () => {
    const scans = takeOf().map((scan, k) => (k === 50 ? { ...scan, t: scan.t + 3_000 } : scan));
    expect(timing(scans)).toMatchObject({ lost: 0, gaps: 0 });
  });

  it('tells jitter as what nine of ten intervals keep within', () => {
    const scans = takeOf().map((scan, k) => ({ ...scan, t: scan.t + (k % 2) * 1_000 }));
    // Intervals are 5 and 3 ms in turn.
    expect(timing(scans)).toMatchObject({ jitter: 2_000 });
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
    expect(check.timing).toMatchObject({ interval: null, jitter: null, lost: 0 });
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
