import { execFile } from 'node:child_process';
import { promisify } from 'node:util';

const exec = promisify(execFile);

/** A stretch of sound of one pitch. */
export interface SteadyPitch {
  /** Seconds from the start of the file. */
  readonly from: number;
  readonly to: number;
  readonly hz: number;
}

/** 186 ms at 44.1 kHz: 7 periods of E1, the lowest note of a bass. */
const WINDOW = 8_192;
const HOP = 512;
/** Two values belong to one pitch within so many cents. */
const STEADY = 40;
/** The shortest stretch taken for a note, in seconds. */
const SHORTEST = 0.25;

/**
 * Finds the pitches in a WAV file with aubio (yinfft), which knows nothing of this project.
 *
 * Only stretches that hold one pitch are given: attacks, and what lies between notes, have none.
 *
 * @param loud what is softer is left out, in dB below full scale
 */
export async function steadyPitches(wav: string, loud = -50): Promise<SteadyPitch[]> {
  const args = ['-i', wav, '-p', 'yinfft', '-u', 'Hz', '-s', String(loud)];
  const sizes = ['-B', String(WINDOW), '-H', String(HOP)];
  const { stdout } = await exec('aubiopitch', [...args, ...sizes], { maxBuffer: 2 ** 26 });
  const found: { from: number; to: number; all: number[] }[] = [];
  for (const line of stdout.split('\n')) {
    const [time, hz] = line.trim().split(/\s+/).map(Number);
    if (time === undefined || !hz || hz < 20) continue;
    const last = found[found.length - 1];
    const near = last && time - last.to < 0.05 && Math.abs(cents(hz, middle(last.all))) < STEADY;
    if (near) {
      last.to = time;
      last.all.push(hz);
    } else {
      found.push({ from: time, to: time, all: [hz] });
    }
  }
  return found
    .filter(({ from, to }) => to - from >= SHORTEST)
    .map(({ from, to, all }) => ({ from, to, hz: middle(all) }));
}

/** Cents from `wanted` up to `hz`. */
export function cents(hz: number, wanted: number): number {
  return 1_200 * Math.log2(hz / wanted);
}

/** Equal temperament, A4 = MIDI note 69 = 440 Hz (ISO 16, from memory). */
export function hzOf(note: number): number {
  return 440 * 2 ** ((note - 69) / 12);
}

/**
 * How loud a stretch of a WAV file is, by sox.
 *
 * @param from seconds; below 0 counts from the end
 * @param length seconds
 * @returns root mean square in dB below full scale; -Infinity for digital silence
 */
export async function rmsDb(wav: string, from: number, length: number): Promise<number> {
  const { stderr } = await exec('sox', [wav, '-n', 'trim', String(from), String(length), 'stats']);
  const value = /^RMS lev dB\s+(\S+)/m.exec(stderr)?.[1];
  if (value === undefined) throw new Error(`sox gave no level of ${wav}:\n${stderr}`);
  return value === '-inf' ? -Infinity : Number(value);
}

function middle(values: readonly number[]): number {
  return [...values].sort((a, b) => a - b)[Math.floor(values.length / 2)]!;
}
