import { execFile } from 'node:child_process';
import { mkdtemp, rm, writeFile } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { promisify } from 'node:util';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { renderWav } from '../../src/engine/builtin/offline.js';
import { mix, on, RATE } from '../engine/builtin/helpers.js';
import { seatSound } from '../support/seat-sound.js';

/*
 * How loud single notes of each kind are, as Debian's ffmpeg measures it (its filter `ebur128`: loudness by
 * ITU-R BS.1770 over 400 ms, and peaks by the same).
 */
const run = promisify(execFile);
let folder: string;

beforeAll(async () => {
  folder = await mkdtemp(join(tmpdir(), 'loud-'));
});
afterAll(() => rm(folder, { recursive: true }));

interface Loudness {
  /** The loudest 400 ms, in LUFS. */
  readonly momentary: number;
  /** The true peak, in dBTP. */
  readonly peak: number;
}

async function measure(bytes: Uint8Array): Promise<Loudness> {
  const file = join(folder, 'note.wav');
  await writeFile(file, bytes);
  const args = ['-hide_banner', '-i', file, '-af', 'ebur128=peak=true', '-f', 'null', '-'];
  const { stderr } = await run('ffmpeg', args);
  const momentary = [...stderr.matchAll(/ M:\s*(-?[\d.]+)/g)].map((found) => Number(found[1]));
  const peak = /Peak:\s*(-?[\d.]+) dBFS/.exec(stderr);
  return { momentary: Math.max(...momentary), peak: Number(peak?.[1]) };
}

const SEATS = [
  seatSound({ name: 'bass', kind: 'strings', sound: 34 }),
  seatSound({ name: 'ukulele', kind: 'strings', sound: 25 }),
  seatSound({ name: 'piano', kind: 'keys', sound: 1, strings: 1 }),
  seatSound({ name: 'bars', kind: 'keys', sound: 12, strings: 1 }),
  seatSound({ name: 'organ', kind: 'keys', sound: 20, strings: 1 }),
  seatSound({ name: 'soft', kind: 'keys', sound: 90, strings: 1 }),
  seatSound({ name: 'recorder', kind: 'holes', sound: 75, strings: 1 }),
  seatSound({ name: 'clarinet', kind: 'holes', sound: 72, strings: 1 }),
  seatSound({ name: 'drums', kind: 'hits', sound: 1, strings: 1 }),
];
const options = { sampleRate: RATE, seed: 1, seats: SEATS, tailSeconds: 1.5 };
const note = (seat: number, key: number): Uint8Array =>
  renderWav([on({ seat, note: key, velocity: 127, strength: 1, t: 200_000 })], options);
const said: string[] = [];

describe('the loudest note', () => {
  it.each([
    ['bass', 0, [28, 33, 38, 43, 47]],
    ['ukulele', 1, [60, 64, 67, 69, 75]],
    ['piano', 2, [48, 60, 72, 84]],
    ['bars', 3, [48, 60, 72, 84]],
    ['organ', 4, [48, 60, 72, 84]],
    ['soft', 5, [48, 60, 72, 84]],
    ['recorder', 6, [72, 79, 86, 98]],
    ['clarinet', 7, [50, 60, 72, 84]],
  ] as const)('of %s is within 2.5 LU of −19.5 LUFS, and below −6 dB', async (name, seat, keys) => {
    for (const key of keys) {
      const { momentary, peak } = await measure(note(seat, key));
      said.push(`${name} ${String(key)}: ${String(momentary)} LUFS, ${String(peak)} dBTP`);
      expect(Math.abs(momentary + 19.5)).toBeLessThan(2.5);
      expect(peak).toBeLessThan(-6);
    }
  });

  // Over 400 ms a short sound measures lower than it is heard: its energy is spread over the whole.
  it('of a drum is no louder, and not more than 9 LU softer, short as it is', async () => {
    for (let key = 35; key <= 81; key++) {
      const { momentary, peak } = await measure(note(8, key));
      said.push(`drum ${String(key)}: ${String(momentary)} LUFS, ${String(peak)} dBTP`);
      expect(momentary).toBeLessThan(-19);
      expect(momentary).toBeGreaterThan(-28.5);
      expect(peak).toBeLessThan(-6);
    }
  });

  afterAll(() => {
    process.stdout.write(`${said.join('\n')}\n`);
  });
});

describe('a mix', () => {
  it.each([
    [0.5, -6.02],
    [0.1, -20],
  ])('at level %f is %f dB softer', async (level, softer) => {
    const tone = on({ seat: 6, note: 79, velocity: 127, strength: 1, t: 200_000 });
    const full = await measure(renderWav([tone], options));
    const turned = mix({ seat: 6, level, sound: 75 });
    const { momentary } = await measure(renderWav([turned, tone], options));
    expect(Math.abs(momentary - full.momentary - softer)).toBeLessThan(0.15);
  });

  it.each([-1, -0.5, 0.5, 1])('is as loud with a pan of %f as in the middle', async (pan) => {
    const tone = on({ seat: 6, note: 79, velocity: 127, strength: 1, t: 200_000 });
    const middle = await measure(renderWav([tone], options));
    const aside = renderWav([mix({ seat: 6, pan, sound: 75 }), tone], options);
    expect(Math.abs((await measure(aside)).momentary - middle.momentary)).toBeLessThan(0.15);
  });
});
