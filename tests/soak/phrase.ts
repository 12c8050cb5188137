import type { VoiceOn } from '../../src/room/voice.js';
import { MILLISECOND, type Micros } from '../../src/time/micros.js';

/** How the notes of a piece played again compare with those of the first time. */
export interface Compared {
  readonly first: number;
  readonly last: number;
  /** Notes that are in both: same string and pitch, within 50 ms. */
  readonly same: number;
  /** By how much their velocities differ: on average with and without the sign. */
  readonly creep: number;
  readonly spread: number;
}

const WITHIN: Micros = 50 * MILLISECOND;

/** Compares notes with those of an earlier time, each from where its piece began. */
export function comparePhrase(
  [first, begun]: readonly [readonly VoiceOn[], Micros],
  [last, again]: readonly [readonly VoiceOn[], Micros],
): Compared {
  const left = new Set(last);
  const differences: number[] = [];
  for (const one of first) {
    for (const other of left) {
      const apart = Math.abs(other.t - again - (one.t - begun));
      if (apart > WITHIN || other.string !== one.string || other.note !== one.note) continue;
      left.delete(other);
      differences.push(other.velocity - one.velocity);
      break;
    }
  }
  const mean = (values: readonly number[]): number =>
    values.length === 0 ? 0 : values.reduce((sum, value) => sum + value, 0) / values.length;
  return {
    first: first.length,
    last: last.length,
    same: differences.length,
    creep: mean(differences),
    spread: mean(differences.map(Math.abs)),
  };
}

/** The same of all seats together. */
export function all(compared: readonly Compared[]): Compared {
  const sum = (of: (one: Compared) => number): number =>
    compared.reduce((so, one) => so + of(one), 0);
  const same = sum((one) => one.same);
  return {
    first: sum((one) => one.first),
    last: sum((one) => one.last),
    same,
    creep: sum((one) => one.creep * one.same) / Math.max(1, same),
    spread: sum((one) => one.spread * one.same) / Math.max(1, same),
  };
}
