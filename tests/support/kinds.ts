import { readFileSync } from 'node:fs';
import { padCount, parseInstrument } from '../../src/instrument/instrument.js';
import { PLAIN } from '../../src/instrument/rules.js';
import type { Build, Instrument, Rules } from '../../src/instrument/types.js';
import type { SeatPlan } from '../../src/pipeline.js';

/** An instrument that ships with the program. */
export function shipped(name: string): Instrument {
  const file = `config/instruments/${name}.yaml`;
  return parseInstrument(readFileSync(file, 'utf8'), file);
}

/** A seat that plays an instrument on a 14-bit wire, calibrated or not. */
export function planOf(
  instrument: Instrument,
  rules: Rules = PLAIN,
  build: Build | null = null,
): SeatPlan {
  const pads = { pads: padCount(instrument), build, full: 16_383, decided: false };
  return { instrument, rules, pads };
}

/** All pitches, or percussion keys, that an instrument has. */
export function notesOn(instrument: Instrument): Set<number> {
  switch (instrument.kind) {
    case 'strings':
      return new Set(
        instrument.strings.flatMap(({ open, frets }) =>
          Array.from({ length: frets.length + 1 }, (_, fret) => open + fret),
        ),
      );
    case 'keys':
      return new Set(instrument.keys.map(({ note }) => note));
    case 'holes':
      return new Set(instrument.fingerings.map(({ note }) => note));
    case 'hits':
      return new Set(instrument.hits.map(({ drum }) => drum));
  }
}
