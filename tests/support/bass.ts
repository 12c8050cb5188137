import { PLAIN } from '../../src/instrument/rules.js';
import type { Rules, StringsInstrument } from '../../src/instrument/types.js';
import type { SeatPlan } from '../../src/pipeline.js';

export { PLAIN };

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
