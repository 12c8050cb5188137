import type { MidiWire } from '../../instrument/types.js';
import { guess, learn, startLearning, type Learning } from '../../pads/learn.js';
import { SPARSE_FULL } from '../../pads/plan.js';
import { SECOND, type Micros } from '../../time/micros.js';
import { fullScale } from '../../wire/midi-wires.js';
import type { Scan } from '../../wire/scan.js';

/** Sees the first touch of a unit that waits for its seat, without its build. */
export interface TouchWatch {
  /** Takes readings in; true once, with those that make a touch sure. */
  see(scan: Scan): boolean;
  /** Whether that touch lasts; a finger that stays is waited for no longer than two seconds. */
  held(t: Micros): boolean;
}

interface Input {
  learning: Learning;
  learned: boolean;
  rest: number;
  /** The least change from rest that is a touch. */
  least: number;
  /** How many readings on end were that far off. */
  off: number;
  last: number;
}

/** The rest follows with this share of each reading: in about a second, as warmth and damp need. */
const FOLLOW = 1 / 256;
/**
 * The least change that is a touch: this many times what the pad flickered by while it was watched,
 * from peak to peak, and never less than this share of full scale. In as many readings on end, noise
 * alone does not do that (measured on simulated units, tests/ports/units/claim-touch.test.ts). Weaker than
 * what makes a note, so that badly built units can be told too: no note comes of it.
 */
const TO_NOISE = 1.5;
const LEAST = 0.004;
const READINGS = 3;
/** A change by this share of full scale needs only a second reading, and on 7-bit wires not even that. */
const SURE = 1 / 8;
const LONGEST: Micros = 2 * SECOND;

/**
 * A touch is a change of any input, up or down, from where it rested while it was first watched, in
 * some readings on end. A wire that tells only changes may have no second reading and no rest to
 * learn, and on `notes` the board has judged itself.
 */
export function touchWatch(wire: MidiWire): TouchWatch {
  const full = fullScale(wire);
  const sparse = full <= SPARSE_FULL;
  const inputs = new Map<number, Input>();
  let touched: { input: Input; at: Micros } | null = null;

  function inputOf(index: number): Input {
    let input = inputs.get(index);
    if (input) return input;
    const learned = wire === 'notes';
    input = { learning: startLearning(), learned, rest: 0, least: 1, off: 0, last: 0 };
    inputs.set(index, input);
    return input;
  }

  function isTouch(input: Input, t: Micros, raw: number): boolean {
    input.last = raw;
    if (!input.learned) {
      if (t < input.learning.until) {
        learn(input.learning, t, raw);
        return sparse && Math.abs(raw - input.learning.raws[0]!) >= SURE * full;
      }
      const { rest, noise } = guess(input.learning, full);
      const least = Math.max(1, LEAST * full, TO_NOISE * noise);
      Object.assign(input, { rest, least, learned: true });
    }
    const off = raw - input.rest;
    const far = Math.abs(off) >= input.least;
    input.off = far ? input.off + 1 : 0;
    if (!far && wire !== 'notes') input.rest += FOLLOW * off;
    const sure = Math.abs(off) >= SURE * full;
    return input.off >= (sparse ? 1 : sure ? 2 : READINGS);
  }

  return {
    see({ t, inputs: indices, raws }) {
      let found = false;
      for (const [i, index] of indices.entries()) {
        const input = inputOf(index);
        if (!isTouch(input, t, raws[i]!) || touched) continue;
        touched = { input, at: t };
        found = true;
      }
      return found;
    },
    held(t) {
      if (!touched || t - touched.at >= LONGEST) return false;
      const { last, rest, least, learned } = touched.input;
      return learned && last - rest >= least;
    },
  };
}
