import { Meter } from '../../../src/engine/builtin/meter.js';

export const RATE = 48_000;

/** Seconds of a tone, and its amplitude in dB of full scale; −Infinity is silence. */
export type Part = readonly [seconds: number, dbfs: number];

/** Tones one after the other, without a break in phase. */
export function tones(parts: readonly Part[], hz = 1_000, sampleRate = RATE): Float32Array {
  const lengths = parts.map(([seconds]) => Math.round(seconds * sampleRate));
  const whole = new Float32Array(lengths.reduce((sum, length) => sum + length, 0));
  let at = 0;
  for (const [i, [, dbfs]] of parts.entries()) {
    const amplitude = 10 ** (dbfs / 20);
    for (const end = at + lengths[i]!; at < end; at++) {
      whole[at] = amplitude * Math.sin((2 * Math.PI * hz * at) / sampleRate);
    }
  }
  return whole;
}

export interface Heard {
  readonly integrated: number;
  readonly truePeak: number;
  /** In LUFS, every 10 ms. */
  readonly momentary: readonly number[];
  readonly shortTerm: readonly number[];
}

/** What the meter makes of a signal; left out: both channels alike. */
export function metered(left: Float32Array, right = left, sampleRate = RATE): Heard {
  const meter = new Meter(sampleRate);
  const step = Math.round(sampleRate / 100);
  const momentary: number[] = [];
  const shortTerm: number[] = [];
  for (let at = 0; at < left.length; at += step) {
    meter.process(left, right, at, Math.min(left.length, at + step));
    momentary.push(meter.momentary);
    shortTerm.push(meter.shortTerm);
  }
  return { integrated: meter.integrated, truePeak: meter.truePeak, momentary, shortTerm };
}

export const highest = (values: readonly number[]): number =>
  values.reduce((most, value) => Math.max(most, value), -Infinity);
