import { describe, expect, it } from 'vitest';
import type { Scan } from '../../src/wire/scan.js';
import { BASS } from '../support/bass.js';
import type { Contact } from './contact.js';
import { compressed, scansOf, type Sampling } from './readings.js';
import { deviation, lineAt, mean } from './statistics.js';
import { buildUnit, FULL, type SimUnit } from './unit.js';

const SECOND = 1_000_000;

function read(
  unit: SimUnit,
  contacts: Contact[],
  length: number,
  sampling: Partial<Sampling> = {},
) {
  return scansOf(unit, { label: 'test', contacts, length, begins: 0 }, sampling);
}

const seriesOf = (unit: SimUnit, scans: Scan[], pad: number): number[] =>
  scans.map(({ raws }) => raws[unit.wiring.indexOf(pad)]!);

const hold = (pad: number, at: number, until: number): Contact => ({
  kind: 'calibration',
  pad,
  at,
  until,
  peak: 1,
  landing: 8_000,
  leaving: 6_000,
  wobble: { hz: 4, depth: 0 },
  losses: [],
});

describe('nobody touching', () => {
  it('a clean unit reads its rests, with the noise asked for', () => {
    const unit = buildUnit('clean', 1, BASS);
    const scans = read(unit, [], 10 * SECOND);
    for (let pad = 0; pad < 20; pad++) {
      const series = seriesOf(unit, scans, pad);
      expect(mean(series)).toBeCloseTo(unit.rest[pad]!, 0);
      // Whole counts add 1/12 to the variance (uniform rounding error, textbook).
      const wanted = Math.sqrt(unit.sigma[pad]! ** 2 + 1 / 12);
      expect(Math.abs(deviation(series) / wanted - 1)).toBeLessThan(4 / Math.sqrt(2 * 2_500));
    }
  });

  it.each([
    [50, 60, 250],
    [60, 50, 250],
    [50, 60, 200],
    [60, 50, 200],
  ] as const)(
    'hum is a line at %i Hz and none at %i Hz, at %i scans a second',
    (own, other, rate) => {
      const unit = buildUnit('usual', 2, BASS, { mains: own });
      expect(Math.abs(unit.mainsHz - own)).toBeLessThanOrEqual(0.06);
      const scans = read(unit, [], 8 * SECOND, { rate });
      const apart = 50;
      for (const pad of [0, 7, 13, 19]) {
        const late = (19 - unit.wiring.indexOf(pad)) * apart;
        const times = scans.map(({ t }) => t - late);
        const series = seriesOf(unit, scans, pad);
        // A line of pure noise has amplitude σ·√(π/N) on average; the window makes it √1.5 of that.
        const floor = unit.sigma[pad]! * Math.sqrt((1.5 * Math.PI) / scans.length);
        expect(Math.abs(lineAt(unit.mainsHz, times, series) - unit.hum[pad]!)).toBeLessThan(
          4 * floor,
        );
        expect(lineAt(other, times, series)).toBeLessThan(4 * floor);
      }
    },
  );

  it('drifts as the unit does', () => {
    const unit = buildUnit('worst', 3, BASS);
    const scans = read(unit, [], 60 * SECOND);
    for (const pad of [2, 11, 17]) {
      const series = seriesOf(unit, scans, pad);
      for (const second of [1, 20, 40, 59]) {
        // Half a second in the middle: 25 whole periods of hum.
        const part = series.slice((second - 0.25) * 250, (second + 0.25) * 250);
        const wanted = unit.rest[pad]! + unit.drift[pad]!(second);
        expect(Math.abs(mean(part) - wanted)).toBeLessThan(4);
      }
    }
  });
});

describe('a touch', () => {
  it.each([false, true])(
    'moves its pad by its span and neighbours by their share (falls: %s)',
    (falls) => {
      const unit = buildUnit('usual', 4, BASS, { falls });
      const scans = read(unit, [hold(5, SECOND, 3 * SECOND)], 4 * SECOND);
      const sign = falls ? -1 : 1;
      for (let pad = 0; pad < 20; pad++) {
        const series = seriesOf(unit, scans, pad);
        const at = (second: number): number => unit.drift[pad]!(second);
        const moved = mean(series.slice(300, 700)) - at(2) - (mean(series.slice(0, 200)) - at(0.4));
        const share =
          pad === 5 ? 1 : (unit.coupling[pad]!.find(({ from }) => from === 5)?.share ?? 0);
        expect(Math.abs(sign * moved - share * unit.span[5]!)).toBeLessThan(3);
      }
    },
  );

  it('is compressed where asked: ln(1 + 4·x) / ln 5', () => {
    expect(compressed(1, 4)).toBeCloseTo(1, 12);
    expect(compressed(0.5, 4)).toBeCloseTo(Math.log(3) / Math.log(5), 12);
    expect(compressed(-0.5, 4)).toBeCloseTo(-Math.log(3) / Math.log(5), 12);
    expect(compressed(0.3, 0)).toBe(0.3);
    const unit = buildUnit('clean', 5, BASS, { compress: 4 });
    const scans = read(unit, [{ ...hold(8, SECOND, 3 * SECOND), peak: 0.5 }], 4 * SECOND);
    const moved = mean(seriesOf(unit, scans, 8).slice(300, 700)) - unit.rest[8]!;
    expect(moved / unit.span[8]!).toBeCloseTo(Math.log(3) / Math.log(5), 2);
  });

  it('brings its hum with it where the body is an aerial', () => {
    const unit = buildUnit('worst', 6, BASS, { aerial: 3 });
    const scans = read(unit, [hold(3, 0, 8 * SECOND)], 8 * SECOND).slice(50, -50);
    const times = scans.map(({ t }) => t);
    expect(lineAt(unit.mainsHz, times, seriesOf(unit, scans, 3)) / unit.hum[3]!).toBeCloseTo(3, 1);
  });
});

describe('scans', () => {
  const unit = buildUnit('usual', 7, BASS);

  it.each([250, 200, 500])('come %i a second, in order, as whole numbers of the board', (rate) => {
    const scans = read(unit, [], 4 * SECOND, { rate });
    expect(Math.abs(scans.length - 4 * rate)).toBeLessThanOrEqual(1);
    const steps = scans.slice(1).map(({ t }, k) => t - scans[k]!.t);
    expect(mean(steps)).toBeCloseTo(1_000_000 / rate, -1);
    expect(Math.min(...steps)).toBeGreaterThan(0);
    for (const { t, inputs, raws } of scans) {
      expect(Number.isInteger(t)).toBe(true);
      expect(inputs).toHaveLength(20);
      expect(raws.every((raw) => Number.isInteger(raw) && raw >= 0 && raw <= FULL)).toBe(true);
    }
  });

  it('get lost one in a hundred where asked, and the others stay as they are', () => {
    const all = read(unit, [], 40 * SECOND);
    const left = read(unit, [], 40 * SECOND, { lost: 100 });
    const share = 1 - left.length / all.length;
    expect(Math.abs(share - 0.01)).toBeLessThan(4 * Math.sqrt((0.01 * 0.99) / all.length));
    const byTime = new Map(all.map((scan) => [scan.t, scan]));
    for (const scan of left) expect(byTime.get(scan.t)).toEqual(scan);
  });
});
