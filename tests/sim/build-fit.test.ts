import { describe, expect, it } from 'vitest';
import type { Build } from '../../src/instrument/types.js';
import { fitWatch } from '../../src/calibration/build-fit.js';
import { SECOND, type Micros } from '../../src/time/micros.js';
import type { Scan } from '../../src/wire/scan.js';
import { BASS } from '../support/bass.js';
import { wobbleOf, type Contact } from './contact.js';
import { GRADE_NAMES } from './grades.js';
import { ownBuild } from './measuring.js';
import { randomOf } from './random.js';
import { scansOf } from './readings.js';
import { simulate } from './session.js';
import { buildUnit, FULL, trueBuild, type SimUnit } from './unit.js';

/*
 * Which builds are told of, on units of three grades. A unit is its own on another day, too: warmed up,
 * drifted, damper, worn, under a hand. It is another one where rests and spans are drawn again, since units
 * of one plan differ as much as their pads do (grades.ts).
 */

const SEEDS = Array.from({ length: 8 }, (_, i) => i + 1);

interface Look {
  readonly begins?: Micros;
  readonly contacts?: readonly Contact[];
  readonly rate?: number;
}

/** The first readings of a unit. */
function first(unit: SimUnit, { begins = 60 * SECOND, contacts = [], rate = 250 }: Look = {}) {
  const length = rate < 100 ? 5 * SECOND : SECOND;
  return scansOf(unit, { label: 'first', contacts: [...contacts], length, begins }, { rate });
}

function told(build: Build, scans: readonly Scan[], full = FULL): string | null {
  const watch = fitWatch({ pads: 20, build, full, decided: false })!;
  for (const scan of scans) {
    const judged = watch.scan(scan);
    if (judged !== null) return judged === 'fits' ? judged : judged.kind;
  }
  return null;
}

/** Fingers and a thumb that lie on pads before the first reading comes. */
function hand(pads: readonly number[], seed: number): Contact[] {
  const random = randomOf(seed, 'hand');
  return pads.map((pad) => ({
    kind: 'thumb' as const,
    pad,
    at: -SECOND,
    until: 10 * SECOND,
    losses: [],
    peak: random.between(0.3, 1.1),
    landing: 100_000,
    leaving: 80_000,
    wobble: wobbleOf(random),
  }));
}

/** Damp card or another room: all rests have gone the same way, and touches reach further or less far. */
function otherDay(unit: SimUnit, side: 1 | -1): SimUnit {
  const random = randomOf(unit.seed, `day ${String(side)}`);
  return {
    ...unit,
    rest: unit.rest.map((rest, pad) => rest + side * unit.span[pad]! * random.between(0.1, 0.45)),
    span: unit.span.map((span) => span * random.between(0.75, 1.3)),
    drift: unit.drift.map(() => () => 0),
  };
}

const inCounts = ({ wiring, pads }: Build, part: number): Build => ({
  wiring,
  pads: pads.map(
    (pad) =>
      pad && { ...pad, rest: pad.rest / part, span: pad.span / part, noise: pad.noise / part },
  ),
});

const tenBits = (scans: readonly Scan[]): Scan[] =>
  scans.map((scan) => ({ ...scan, raws: scan.raws.map((raw) => Math.round(raw / 16)) }));

/** What is told over all seeds, each with how often. */
function tally(each: (seed: number) => readonly (string | null)[]): Record<string, number> {
  const counts: Record<string, number> = {};
  for (const one of SEEDS.flatMap(each)) counts[String(one)] = (counts[String(one)] ?? 0) + 1;
  return counts;
}

const all = (kind: string, times = 1): Record<string, number> => ({ [kind]: SEEDS.length * times });

describe.each(GRADE_NAMES)('on %s units, seeds 1 to 8,', { timeout: 240_000 }, (grade) => {
  const unitOf = (seed: number): SimUnit => buildUnit(grade, seed, BASS);
  const buildOf = (seed: number): Build => trueBuild(unitOf(seed), 30);

  it('its own build fits, however long ago it was calibrated', () => {
    const later = [1, 60, 300, 1_100].map((seconds) => seconds * SECOND);
    expect(
      tally((seed) => later.map((begins) => told(buildOf(seed), first(unitOf(seed), { begins })))),
    ).toEqual(all('fits', later.length));
  });

  it('so it does as our own calibration writes it, and with a finger on a pad meanwhile', () => {
    expect(
      tally((seed) =>
        [null, seed % 20].map((fingerOn) => {
          const session = simulate({ grade, seed, calibrating: { fingerOn } }, SECOND);
          return told(ownBuild(session).build, session.take.scans);
        }),
      ),
    ).toEqual(all('fits', 2));
  });

  it('so it does under a hand, over damp card, and from a slow board', () => {
    const hands = [[0], [16, 17], [0, 5, 10, 15, 16], [3, 7, 11, 15, 2, 6, 10, 14, 19]];
    expect(
      tally((seed) => {
        const unit = unitOf(seed);
        const build = buildOf(seed);
        return [
          ...hands.map((pads) => told(build, first(unit, { contacts: hand(pads, seed) }))),
          ...([1, -1] as const).map((side) => told(build, first(otherDay(unit, side)))),
          told(build, first(unit, { rate: 20 })),
        ];
      }),
    ).toEqual(all('fits', hands.length + 3));
  });

  it('another unit’s does not', () => {
    expect(
      tally((seed) => {
        const other = buildUnit(grade, seed + 1_000, BASS);
        const contacts = hand([0, 5, 10, 15, 16], seed);
        const looks = [{}, { contacts }, { rate: 20 }];
        return looks.map((look) => told(buildOf(seed), first(other, look)));
      }),
    ).toEqual(all('rests', 3));
  });

  it('nor does its own with all wires in another order', () => {
    expect(
      tally((seed) => {
        const { wiring } = unitOf(seed);
        const mixed = randomOf(seed, 'mixed').shuffled([...wiring]);
        return [told({ ...buildOf(seed), wiring: mixed }, first(unitOf(seed)))];
      }),
    ).toEqual(all('rests'));
  });

  it('two wires that changed places are seen where their pads rest far apart', () => {
    const counts = tally((seed) => {
      const unit = unitOf(seed);
      return [1, 7, 13].map((step) => {
        const wiring = [...unit.wiring];
        const [a, b] = [seed % 20, (seed + step) % 20];
        [wiring[a], wiring[b]] = [wiring[b]!, wiring[a]!];
        return told({ ...buildOf(seed), wiring }, first(unit));
      });
    });
    expect(Object.keys(counts).sort()).toEqual(['fits', 'wires']);
    expect(counts.wires).toBeGreaterThan(SEEDS.length);
  });

  it('a board of another resolution is told by its scale, or by what it can send', () => {
    expect(tally((seed) => [told(buildOf(seed), tenBits(first(unitOf(seed))), FULL)])).toEqual(
      all('scale'),
    );
    expect(tally((seed) => [told(inCounts(buildOf(seed), 16), first(unitOf(seed)))])).toEqual(
      all('scale'),
    );
    expect(tally((seed) => [told(buildOf(seed), tenBits(first(unitOf(seed))), 1_023)])).toEqual(
      all('range'),
    );
  });
});

describe('what cannot be told', () => {
  const build = trueBuild(buildUnit('usual', 1, BASS), 0);
  it.each([
    ['a unit without a build', { build: null }],
    ['a board that decides itself what is a touch', { decided: true }],
    ['a wire of 7 bits, which may tell only changes', { full: 127 }],
    ['a build without one pad that was calibrated', { build: { ...build, pads: [] } }],
  ])('is not looked at: %s', (_, other) => {
    expect(fitWatch({ pads: 20, build, full: FULL, decided: false, ...other })).toBeNull();
  });

  it('nor is a unit judged by pads that say next to nothing', () => {
    const watch = fitWatch({ pads: 20, build, full: FULL, decided: false })!;
    const scans = Array.from({ length: 30 }, (_, k) => ({
      type: 'scan' as const,
      t: k * 300_000,
      ...(k < 2 ? { inputs: [0, 1, 2], raws: [16_000, 16_000, 16_000] } : { inputs: [], raws: [] }),
    }));
    expect(scans.map((scan) => watch.scan(scan)).filter((one) => one !== null)).toEqual(['fits']);
  });
});
