import { execFile } from 'node:child_process';
import { writeFile } from 'node:fs/promises';
import { promisify } from 'node:util';

/*
 * The pitch as Debian's aubio hears it, from WAV files. Its method `yin` with a window of 8192 frames, seven
 * periods of an E1: its default, `yinfft`, reads even a pure sine of 41.2 Hz 56 cents sharp. `-s -100` has
 * it listen to faint notes too. It looks for periods near whole samples, so a sine of 4186 Hz at 48 kHz is
 * 2.8 cents off: high notes are first brought to four times the rate, by Debian's sox.
 */
const WINDOW = 8_192;
const HIGH_RATE = '192000';
const run = promisify(execFile);

/**
 * MIDI pitches, not whole, and when they were heard, in seconds.
 *
 * @param file where to put the WAV file
 */
async function heardPitches(
  file: string,
  bytes: Uint8Array,
  high: boolean,
): Promise<{ at: number; pitch: number }[]> {
  await writeFile(file, bytes);
  const heard = high ? `${file}.high.wav` : file;
  if (high) await run('sox', [file, '-r', HIGH_RATE, heard]);
  const args = ['-i', heard, '-r', '0', '-p', 'yin', '-u', 'midi', '-s', '-100'];
  const { stdout } = await run('aubiopitch', [...args, '-B', String(WINDOW), '-H', '2048']);
  const lines = stdout.trim().split('\n');
  return lines.map((line) => {
    const [at, pitch] = line.split(/\s+/).map(Number);
    return { at: at!, pitch: pitch! };
  });
}

/** The median pitch from 0.3 s to 1.2 s of a WAV file that goes on for long enough. */
export async function medianPitch(file: string, bytes: Uint8Array, high: boolean): Promise<number> {
  const steady = (await heardPitches(file, bytes, high)).filter(({ at }) => at > 0.3 && at < 1.2);
  const pitches = steady.map(({ pitch }) => pitch).sort((a, b) => a - b);
  if (pitches.length < 16) throw new Error('aubio heard too little');
  return pitches[pitches.length >> 1]!;
}
