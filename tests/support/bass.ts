import type { Rules, StringsInstrument } from '../../src/instrument/types.js';
import type { SeatPlan } from '../../src/pipeline.js';

/** The touch bass of the design: G2 D2 A1 E1, four frets each. */
export const BASS: StringsInstrument = {
  name: 'bass',
  kind: 'strings',
  sound: 34,
  strings: [43, 38, 33, 28].map((open, i) => ({
    open,
    frets: [i, 4 + i, 8 + i, 12 + i],
    pluck: 16 + i,
  })),
};

export const PLAIN: Rules = {
  name: 'plain',
  touch: { on: 0.2, off: 0.12, lift: 24_000 },
  strength: { readings: 1, within: 12_000 },
  velocity: { softest: 20, hardest: 127, curve: 1 },
  strings: {
    stop: 'highest',
    'hammer-on': false,
    'pull-off': false,
    slide: false,
    'slide-overlap': 120_000,
    'slide-gap': 30_000,
    ring: 4_000_000,
    'damp-by-fret': true,
    'damp-by-hold': null,
    'late-fret': 22_000,
    'wait-for-fret': 'often',
    'early-lift': 36_000,
    'resting-thumb': 6_000,
    brush: 36_000,
    'brush-share': 0.65,
  },
  voices: { most: 4, keep: 'latest' },
};

export function withStrings(strings: Partial<Rules['strings']>): Rules {
  return { ...PLAIN, strings: { ...PLAIN.strings, ...strings } };
}

/** A bass on a 14-bit wire without a calibration. */
export function bassPlan(rules: Rules = PLAIN): SeatPlan {
  return {
    instrument: BASS,
    rules,
    pads: { pads: 20, build: null, full: 16_383, decided: false },
  };
}
