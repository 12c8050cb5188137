import { describe, expect, it } from 'vitest';
import { aliasOf, humOf } from '../../src/check/hum.js';
import { randomOf } from '../sim/random.js';

/** Rest with normal noise and a sine, `seconds` long at `rate` scans a second. */
function rest(rate: number, hz: number, amplitude: number, sigma: number, seconds = 4) {
  const random = randomOf(7, `${String(rate)}/${String(hz)}`);
  const times = Array.from({ length: seconds * rate }, (_, k) => Math.round((1e6 * k) / rate));
  const raws = Float64Array.from(times, (t) =>
    Math.round(1_000 + amplitude * Math.sin(2e-6 * Math.PI * hz * t + 1) + sigma * random.gauss()),
  );
  return { times, raws, quiet: [[0, times.length]] as [number, number][], rate };
}

const hum = ({ times, raws, quiet, rate }: ReturnType<typeof rest>) =>
  humOf(times, raws, quiet, rate);

describe('mains hum', () => {
  it.each([
    [250, 50],
    [250, 60],
    [200, 50],
    [200, 60],
    [1_000, 50],
    [60, 50], // shows at 10 Hz
    [80, 60], // shows at 20 Hz
  ] as const)('at %i scans a second, %i Hz is found with its size', (rate, hz) => {
    const found = hum(rest(rate, hz, 20, 6))!;
    expect(found.hz).toBe(hz);
    expect(found.size).toBeGreaterThan(36);
    expect(found.size).toBeLessThan(44);
    // The power of a sine is half of its amplitude's square.
    expect(Math.abs(found.share - 200 / (200 + 36))).toBeLessThan(0.1);
  });

  it('is found where the mains is a little off and so beats against the scan', () => {
    expect(hum(rest(250, 50.06, 20, 6))?.hz).toBe(50);
    expect(hum(rest(250, 59.94, 20, 6))?.hz).toBe(60);
  });

  it('is not seen in noise alone, nor in a line at another frequency', () => {
    expect(hum(rest(250, 50, 0, 8))).toBeNull();
    expect(hum(rest(250, 35, 20, 6))).toBeNull();
    expect(hum(rest(250, 87, 20, 6))).toBeNull();
  });

  it('is called mains where 50 and 60 Hz look alike: both show at 50 Hz, 110 times a second', () => {
    expect(aliasOf(60, 110)).toBe(50);
    expect(hum(rest(110, 60, 20, 6))).toMatchObject({ hz: null });
  });

  it('cannot be told from drift where it folds to nothing', () => {
    expect(aliasOf(50, 50)).toBe(0);
    expect(hum(rest(50, 50, 20, 2))?.hz ?? 'none').not.toBe(50);
  });

  it('is found with one scan in ten lost, since each reading has its own time', () => {
    const { times, raws, rate } = rest(250, 50, 20, 6);
    const random = randomOf(8, 'lost');
    const kept = times.map((_, k) => k).filter(() => !random.chance(0.1));
    const found = humOf(
      kept.map((k) => times[k]!),
      Float64Array.from(kept, (k) => raws[k]!),
      [[0, kept.length]],
      rate,
    )!;
    expect(found.hz).toBe(50);
    expect(found.size).toBeGreaterThan(36);
  });
});
