import { describe, expect, it } from 'vitest';
import { towards } from '../../src/wiring/input.js';
import { calibratingTouches } from '../sim/calibrating.js';
import { GRADE_NAMES } from '../sim/grades.js';
import { scansOf } from '../sim/readings.js';
import { buildUnit } from '../sim/unit.js';
import { BASS } from '../support/bass.js';
import { learn, LIVE } from './learn.js';
import { inTurn, wireUnit, type UnitWanted } from './unit.js';

const SEEDS = Array.from({ length: 12 }, (_, i) => i + 1);
const PADS = LIVE.order;

/** Seeds whose wiring was not learned exactly when every pad is touched once, `every` ms apart. */
function wrong(wanted: Omit<UnitWanted, 'pads' | 'seed'>, every = 400): number[] {
  return SEEDS.filter((seed) => {
    const unit = wireUnit({ pads: 20, seed, inputs: 24, ...wanted });
    const scans = unit.scans(inTurn(PADS, 1_000, every), 2 + (PADS.length * every) / 1_000);
    const { wiring } = learn(scans, { ...LIVE, reminders: false });
    return JSON.stringify(wiring) !== JSON.stringify(unit.wiring);
  });
}

/*
 * Units as badly built as the worst grade: spans 110–420 of 16383, noise σ 5–9, hum 6–14, coupling
 * 8–18 %, contact lost for 5–12 ms in 8 of 10 touches, four inputs without a pad. The truth is what the
 * maker was told.
 */
describe('the wiring of a badly built unit, each pad touched once', () => {
  it.each(['any', 'straight', 'reversed', 'one off'] as const)('is learned: wires %s', (order) => {
    expect(wrong({ order })).toEqual([]);
  });

  it.each([1, -1, 0] as const)('is learned where a touch moves readings by sign %i', (sign) => {
    expect(wrong({ sign, mains: 60 })).toEqual([]);
  });

  it('is learned at five pads a second, and at 1000, 200 and 100 scans a second', () => {
    expect(wrong({}, 200)).toEqual([]);
    expect(wrong({ rate: 1_000 })).toEqual([]);
    expect(wrong({ rate: 200, mains: 60 })).toEqual([]);
    expect(wrong({ rate: 100 })).toEqual([]);
  });

  it('is learned where spans differ eightfold, and where coupling goes by the neighbour’s own span', () => {
    expect(wrong({ span: [110, 900], coupling: [0.1, 0.18] })).toEqual([]);
    expect(wrong({ shareOf: 'own span' })).toEqual([]);
  });
});

describe('simulated units of another maker', () => {
  it.each(GRADE_NAMES)(
    'are learned in the grade %s, lost scans and hum in the finger included',
    (name) => {
      const failed = SEEDS.slice(0, 8).filter((seed) => {
        const turned = seed % 2 === 0;
        const unit = buildUnit(name, seed, BASS, {
          mains: turned ? 60 : 50,
          falls: turned,
          aerial: 3,
        });
        const { contacts, length } = calibratingTouches(unit, { touches: 1 });
        const stretch = { label: 'wire', contacts, length, begins: 0 };
        const { wiring } = learn(scansOf(unit, stretch, { lost: 100 }), LIVE);
        return JSON.stringify(wiring) !== JSON.stringify(unit.wiring);
      });
      expect(failed).toEqual([]);
    },
  );
});

describe('two fingers at once', () => {
  it('are told in most cases, and never counted for two pads', () => {
    let unclear = 0;
    const tries = 60;
    for (let seed = 1; seed <= tries; seed++) {
      const unit = wireUnit({ pads: 20, seed, inputs: 24 });
      const first = (seed * 7) % 20;
      const second = (first + 1 + (seed % 18)) % 20;
      const later = [5, 10, 15, 20, 30][seed % 5]!;
      const longer = [10, -20, 30, 15, -12][(seed >> 2) % 5]!;
      const presses = [
        { pad: first, at: 1_000, until: 1_250 },
        { pad: second, at: 1_000 + later, until: 1_250 + longer },
      ];
      const { told } = learn(unit.scans(presses, 2), LIVE);
      expect(told.filter((one) => one.startsWith('wired')).length).toBeLessThanOrEqual(1);
      if (told.some((one) => one.startsWith('unclear'))) unclear++;
    }
    // Fingers that land within 10 ms on pads of very different spans look like coupling.
    expect(unclear / tries).toBeGreaterThan(0.7);
  });
});

describe('smoothing', () => {
  it('leaves of hum what a one-pole low-pass leaves: 1/√(1 + (2πfτ)²), and 1 − e⁻¹ of a step after τ', () => {
    // τ is 20 ms. Formula of the first-order low-pass: textbook; COMPUTED for 50 and 60 Hz.
    for (const [hz, left] of [
      [50, 0.1572],
      [60, 0.1315],
    ] as const) {
      let smooth = 0;
      let most = 0;
      for (let us = 0; us < 1_000_000; us += 50) {
        smooth = towards(smooth, Math.sin((2 * Math.PI * hz * us) / 1e6), 50);
        if (us > 500_000) most = Math.max(most, Math.abs(smooth));
      }
      expect(most).toBeCloseTo(left, 3);
    }
    expect(towards(0, 1, 20_000)).toBeCloseTo(0.6321, 4);
    expect(towards(towards(0, 1, 7_000), 1, 13_000)).toBeCloseTo(towards(0, 1, 20_000), 12);
  });
});
