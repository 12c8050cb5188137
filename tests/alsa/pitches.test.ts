import { execFile } from 'node:child_process';
import { mkdtemp, rm } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { promisify } from 'node:util';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { cents, hzOf, rmsDb, steadyPitches } from './pitches.js';

const exec = promisify(execFile);
let dir: string;
beforeAll(async () => {
  dir = await mkdtemp(join(tmpdir(), 'pluckwork-pitches-'));
});
afterAll(() => rm(dir, { recursive: true, force: true }));

/** Has sox play a tone a frequency, each followed by silence. */
async function tones(name: string, kind: string, frequencies: readonly number[]): Promise<string> {
  const file = join(dir, name);
  const parts = frequencies.map((hz, i) => join(dir, `${name}-${String(i)}-${String(hz)}.wav`));
  for (const [i, part] of parts.entries()) {
    const synth = ['synth', '0.8', kind, String(frequencies[i]), 'gain', '-12', 'pad', '0', '0.3'];
    await exec('sox', ['-n', '-r', '44100', part, ...synth]);
  }
  await exec('sox', [...parts, file]);
  return file;
}

// The tones are sox's: what finds pitches in recordings must be right where the pitch is known.
describe('finding pitches', () => {
  it.each(['sawtooth', 'pluck'])('finds the open strings of a bass played as %s', async (kind) => {
    // Equal temperament: 41.2034, 55.0000, 73.4162, 97.9989 Hz, computed from A4 = 440 Hz.
    const wanted = [41.2034, 55, 73.4162, 97.9989];
    expect([28, 33, 38, 43].map((note) => Number(hzOf(note).toFixed(4)))).toEqual(wanted);
    const found = await steadyPitches(await tones(`${kind}.wav`, kind, wanted));
    expect(found).toHaveLength(4);
    for (const [i, hz] of wanted.entries()) {
      expect(Math.abs(cents(found[i]!.hz, hz))).toBeLessThan(15);
    }
  });

  it('tells a note that is half a semitone off', async () => {
    const [found] = await steadyPitches(
      await tones('off.wav', 'sawtooth', [41.2034 * 2 ** (1 / 24)]),
    );
    expect(cents(found!.hz, hzOf(28))).toBeGreaterThan(35);
  });

  it('finds none in noise and none in silence', async () => {
    expect(await steadyPitches(await tones('noise.wav', 'whitenoise', [1]))).toEqual([]);
    const silence = join(dir, 'silence.wav');
    await exec('sox', ['-n', '-r', '44100', silence, 'trim', '0', '1']);
    expect(await steadyPitches(silence)).toEqual([]);
    expect(await rmsDb(silence, 0, 1)).toBeLessThan(-90);
  });

  it('measures loudness: a sine of 0 dB peak has 3.01 dB less root mean square', async () => {
    const sine = join(dir, 'sine.wav');
    // By ffmpeg: sox makes its sines of −3.04 dB peak.
    const tone = 'aevalsrc=sin(2*PI*1000*t):d=1:s=44100';
    await exec('ffmpeg', ['-v', 'error', '-f', 'lavfi', '-i', tone, sine]);
    expect(await rmsDb(sine, 0.2, 0.5)).toBeCloseTo(-3.01, 1);
  });
});
