import { describe, expect, it } from 'vitest';
import type { Build } from '../../src/instrument/types.js';
import { padNames } from '../../src/instrument/pad-names.js';
import { checkUnit } from '../../src/check/check.js';
import { judgement, tellFinding } from '../../src/check/words.js';
import type { Scan } from '../../src/wire/scan.js';
import { printedOrder } from '../../src/instrument/instrument-pads.js';
import { BASS } from '../support/bass.js';
import { performance, UNIT as PLAYED } from '../commands/performance.js';
import {
  always,
  FULL,
  rewritten,
  SOUND,
  STRAIGHT,
  takeOf,
  touchedAt,
  touching,
  UNIT,
  withCoupling,
  withDrift,
  withHum,
  withNoise,
  withSwapped,
  type Rewrite,
} from './takes.js';

const check = (scans: readonly Scan[], unit = UNIT) => checkUnit(scans, unit).check;
const checkWith = (...rewrites: Rewrite[]) =>
  check(rewrites.reduce<readonly Scan[]>(rewritten, takeOf()) as Scan[]);

/** Pads that have verdicts, with those in short: `dead/untouched`, `weak`. */
function verdicts({ pads }: ReturnType<typeof check>): Record<number, string[]> {
  const list = pads
    .filter((pad) => pad.verdicts.length > 0)
    .map(({ pad, verdicts: all }) => [
      pad,
      all.map(({ kind, why, grade }) => {
        const whole = why === null ? kind : `${kind}/${why}`;
        return grade === 'watch' ? `${whole}?` : whole;
      }),
    ]);
  return Object.fromEntries(list) as Record<number, string[]>;
}

const spans = (pad: number, span: number) => ({
  ...SOUND,
  span: SOUND.span.map((usual, i) => (i === pad ? span : usual)),
});

describe('a sound unit', () => {
  it('has nothing to fix', () => {
    const found = check(takeOf());
    expect(found.findings).toEqual([]);
    expect(found.fit).toBe(20);
    for (const pad of found.pads) {
      expect(pad).toMatchObject({ touches: 1, hum: null, ghosts: [] });
      expect(Math.abs(pad.touched! - pad.rest! - 500)).toBeLessThan(5);
      expect(pad.noise).toBeGreaterThanOrEqual(14);
      expect(pad.noise).toBeLessThanOrEqual(16);
    }
  });

  it('may lower its readings by a touch', () => {
    const falls = { ...SOUND, span: SOUND.span.map((span) => -span) };
    expect(check(takeOf(undefined, falls)).findings).toEqual([]);
  });

  it('is not blamed for what a player does: several pads at a time, soft and hard', () => {
    const pads = check([...performance()]).pads.filter(({ touches }) => touches > 0);
    expect(pads.length).toBe(8);
    for (const { verdicts: all, pad, touched, rest } of pads) {
      expect(all).toEqual([]);
      expect((touched! - rest!) / PLAYED.span[pad]!).toBeGreaterThan(0.5);
    }
  });
});

describe('a pad that cannot be played', () => {
  it('gave no touch', () => {
    const order = printedOrder(BASS).filter((pad) => pad !== 6);
    expect(verdicts(check(takeOf(touching(order))))).toEqual({ 6: ['dead/untouched'] });
  });

  it('sent nothing, is in no wiring, or reads one value', () => {
    const silent = takeOf().map(({ t, inputs, raws }): Scan => {
      return { type: 'scan', t, inputs: inputs.slice(0, 19), raws: raws.slice(0, 19) };
    });
    expect(verdicts(check(silent))).toEqual({ 19: ['dead/unheard'] });
    const wiring = STRAIGHT.map((pad) => (pad === 3 ? null : pad));
    const unwired = check(takeOf(), { ...UNIT, wiring });
    expect(verdicts(unwired)).toEqual({ 3: ['dead/unwired'] });
    expect(unwired.spare).toEqual([{ input: 3, touches: 1 }]);
    expect(verdicts(checkWith(always(5, 1_234)))).toEqual({ 5: ['dead/frozen'] });
  });

  it.each([0, FULL])('is stuck at %i', (end) => {
    const found = checkWith(always(15, end), withNoise([15], 3));
    expect(verdicts(found)).toEqual({ 15: ['stuck'] });
  });

  it('is held most of the time, let go for a moment only', () => {
    const held: Rewrite = (input, raw, t) =>
      input === 9 ? (t > touchedAt(7) && t < touchedAt(8) ? 1_000 : 1_500) + (raw % 7) : raw;
    expect(verdicts(checkWith(held))).toEqual({ 9: ['held'] });
  });

  it('is held all the time, as its calibration tells', () => {
    const build: Build = {
      wiring: STRAIGHT,
      pads: STRAIGHT.map(() => ({ rest: 1_000, span: 500, noise: 16, coupling: [] })),
    };
    const held: Rewrite = (input, raw) => (input === 9 ? 1_480 + (raw % 7) : raw);
    const scans = rewritten(takeOf(), held);
    expect(verdicts(check(scans, { ...UNIT, build }))).toEqual({ 9: ['held'] });
    // Without one this cannot be told from a pad that nobody touched.
    expect(verdicts(check(scans))).toEqual({ 9: ['dead/untouched'] });
  });

  it('is only to be watched where a finger lay on it at first', () => {
    const lay: Rewrite = (input, raw, t) => (input === 9 && t < touchedAt(1) ? raw + 480 : raw);
    const found = checkWith(lay);
    expect(verdicts(found)).toEqual({ 9: ['held/first?'] });
    expect(found.pads[9]).toMatchObject({ touches: 1 });
    expect(found.pads[9]!.ratio).toBeGreaterThan(25);
  });

  it('moves as one with another', () => {
    const bridge: Rewrite = (input, raw, _, all) =>
      input === 8 || input === 12 ? all[8]! + all[12]! - 1_000 + (input === 8 ? raw % 2 : 0) : raw;
    expect(verdicts(checkWith(bridge))).toEqual({ 8: ['joined'], 12: ['joined'] });
  });

  it('answers in the place of another', () => {
    expect(verdicts(checkWith(withSwapped(7, 11)))).toEqual({ 7: ['swapped'], 11: ['swapped'] });
  });
});

describe('a pad under 5:1', () => {
  it('is weak where its signal is to blame', () => {
    const found = check(takeOf(undefined, spans(13, 60)));
    expect(verdicts(found)).toEqual({ 13: ['weak'] });
    expect(found.pads[13]!.ratio).toBeCloseTo(60 / 16, 0);
    expect(verdicts(check(takeOf(undefined, spans(13, 110))))).toEqual({});
  });

  it.each([
    [24, 1.5],
    [13, 0.8],
  ])(
    'is weak, not dead, where only the mean of many readings shows it: %i counts',
    (span, ratio) => {
      const found = check(takeOf(undefined, spans(13, span)));
      expect(verdicts(found)).toEqual({ 13: ['weak'] });
      expect(found.pads[13]).toMatchObject({ touches: 1 });
      expect(Math.abs(found.pads[13]!.ratio! - ratio)).toBeLessThan(0.15);
    },
  );

  it('gave no touch where the mean of many readings shows none either', () => {
    for (let seed = 1; seed <= 12; seed++) {
      const order = printedOrder(BASS).filter((pad) => pad !== 13);
      const faults = [withNoise([13], 60, seed), withDrift([13], 3), withHum([13], 50, 20)];
      const scans = faults.reduce(rewritten, takeOf(touching(order), SOUND, seed));
      expect(verdicts(check(scans))).toEqual({ 13: ['dead/untouched'] });
    }
  });

  it('is noisy where its noise is', () => {
    expect(verdicts(checkWith(withNoise([10], 140)))).toEqual({ 10: ['noisy/hiss'] });
    expect(verdicts(checkWith(withNoise([10], 25)))).toEqual({});
    // 1.25 times the line and five times as loud as the others: worth watching.
    expect(verdicts(checkWith(withNoise([10], 66)))).toEqual({ 10: ['noisy/hiss?'] });
  });

  it.each([50, 60])('is noisy by hum of %i Hz', (hz) => {
    const found = checkWith(withHum([16], hz, 150));
    expect(verdicts(found)).toEqual({ 16: ['noisy/hum'] });
    expect(found.pads[16]!.hum!.hz).toBe(hz);
    expect(Math.abs(found.pads[16]!.hum!.size - 150)).toBeLessThan(8);
  });

  it('hides its touch altogether', () => {
    const found = checkWith(always(4, 1_000), withNoise([4], 400));
    expect(verdicts(found)).toEqual({ 4: ['noisy/hiss'] });
    expect(found.pads[4]!.ratio).toBeNull();
  });

  it('jumps now and then: a loose joint', () => {
    const loose: Rewrite = (input, raw, t) =>
      input === 2 && t % 700_000 < 20_000 ? raw + 300 : raw;
    expect(verdicts(checkWith(loose))[2]).toEqual(['noisy/jumps']);
  });
});

describe('a pad that something else moves', () => {
  it.each([
    [0.4, ['coupled']],
    [0.25, ['coupled?']],
  ])('shows %d of its neighbour', (share, expected) => {
    const found = checkWith(withCoupling(0, 4, share));
    expect(verdicts(found)).toEqual({ 4: expected });
    expect(found.pads[4]!.ghosts[0]!.from).toBe(0);
    expect(found.pads[4]!.ghosts[0]!.level).toBeCloseTo(share, 1);
  });

  it('is fit up to a fifth of its own touch', () => {
    const found = checkWith(withCoupling(0, 4, 0.15));
    expect(verdicts(found)).toEqual({});
    expect(found.pads[4]!.ghosts[0]!.level).toBeCloseTo(0.15, 2);
  });

  it('counts a neighbour by its own touch: a tenth of a strong one is half of a weak one', () => {
    const scans = rewritten(takeOf(undefined, spans(4, 100)), withCoupling(0, 4, 0.1));
    expect(verdicts(check(scans))).toEqual({ 4: ['coupled'] });
  });

  it('is not taken for coupled where another finger was on it', () => {
    const twice = touching().flatMap((gesture) =>
      gesture.pad === 0
        ? [gesture, { ...gesture, pad: 19, at: gesture.at - 60_000, until: gesture.at + 90_000 }]
        : [gesture],
    );
    expect(check(takeOf(twice)).pads[19]!.ghosts).toEqual([]);
  });

  it.each([
    [10, ['drifting?']],
    [25, ['drifting']],
  ])('drifts by %i counts a second', (speed, expected) => {
    const found = checkWith(withDrift([9], speed));
    expect(verdicts(found)).toEqual({ 9: expected });
    // The take lasts about 15 s, its first and last half second being means.
    expect(found.pads[9]!.drift).toBeGreaterThan((13 * speed) / 500);
    expect(found.pads[9]!.drift).toBeLessThan((15 * speed) / 500);
  });

  it('may drift a little', () => {
    expect(verdicts(checkWith(withDrift(STRAIGHT, -5)))).toEqual({});
  });
});

describe('a pad that was touched, but never alone', () => {
  const order = printedOrder(BASS).filter((pad) => pad !== 6);
  // A1 fret 2 is only touched while its string is plucked, and less than that moves furthest.
  const at = touchedAt(order.indexOf(18));
  const held = { pad: 6, at: at + 20_000, until: at + 200_000, strength: 0.7 };

  it('is heard: only its signal cannot be judged', () => {
    const { pads, fit, findings } = check(takeOf([...touching(order), held]));
    expect(pads[6]!.verdicts).toEqual([{ kind: 'unjudged', why: null, grade: 'watch' }]);
    expect(fit).toBe(19);
    expect(findings.map(({ kind }) => kind)).toEqual(['unjudged']);
  });

  it('says so in words, and what it takes to judge it', () => {
    const names = padNames(BASS);
    const found = check(takeOf([...touching(order), held]));
    expect(judgement(found.pads[6]!)).toBe('touched, not judged');
    const { title, seen, next } = tellFinding(found.findings[0]!, found, names);
    expect(title).toBe('Not judged');
    expect(seen).toMatch(/only while other pads were touched too: A1 fret 2/);
    expect(next).toMatch(/Let go of all other pads, touch it once by itself/);
  });

  it('is not one on which only a neighbour shows', () => {
    const scans = rewritten(takeOf(touching(order)), withCoupling(10, 6, 0.4));
    expect(check(scans).pads[6]!.verdicts).toMatchObject([{ kind: 'dead', why: 'untouched' }]);
  });
});
