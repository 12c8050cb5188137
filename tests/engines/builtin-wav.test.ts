import { execFile } from 'node:child_process';
import { mkdtemp, rm, writeFile } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { promisify } from 'node:util';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { renderWav } from '../../src/engine/builtin/offline.js';
import { off, on, RATE, SEATS } from '../engine/builtin/helpers.js';

/* WAV files as Debian's sox reads them. */
const run = promisify(execFile);
let folder: string;
let file: string;

beforeAll(async () => {
  folder = await mkdtemp(join(tmpdir(), 'wav-'));
  file = join(folder, 'take.wav');
  const events = Array.from({ length: 64 }, (_, i) =>
    on({ voice: i + 1, string: i, note: 28 + (i % 20), velocity: 127, strength: 1, t: 500_000 }),
  );
  const offs = events.map(({ voice, string }) => off({ voice, string, t: 1_500_000 }));
  const options = { sampleRate: RATE, seed: 1, seats: SEATS, tailSeconds: 1 };
  await writeFile(file, renderWav([...events, ...offs], options));
});
afterAll(() => rm(folder, { recursive: true }));

async function soxi(flag: string): Promise<string> {
  return (await run('soxi', [flag, file])).stdout.trim();
}

/** `sox stats` of a part of the file, by the names it prints. */
async function stats(from: string, length: string): Promise<Map<string, number>> {
  const { stderr } = await run('sox', [file, '-n', 'trim', from, length, 'stats']);
  const lines = stderr.split('\n').map((line) => /^(.*?)\s{2,}(\S+)/.exec(line));
  return new Map(lines.flatMap((found) => (found ? [[found[1]!, Number(found[2])] as const] : [])));
}

describe('a WAV file', () => {
  it('is read by sox as what it is', async () => {
    expect(await soxi('-t')).toBe('wav');
    expect(await soxi('-r')).toBe('48000');
    expect(await soxi('-c')).toBe('2');
    expect(await soxi('-b')).toBe('16');
    expect(await soxi('-e')).toBe('Signed Integer PCM');
    expect(Number(await soxi('-D'))).toBe(2.5);
  });

  it('keeps 64 loud voices below −1 dBFS, and not far below', async () => {
    const loud = await stats('0.5', '1');
    expect(loud.get('Pk lev dB')).toBeLessThanOrEqual(-0.99);
    expect(loud.get('Pk lev dB')).toBeGreaterThan(-2);
  });

  it('is digital silence before the first note and after the last', async () => {
    // sox prints the level of nothing as −inf, which is no number in JavaScript.
    expect((await stats('0', '0.49')).get('Pk lev dB')).toBeNaN();
    expect((await stats('2', '0.5')).get('Pk lev dB')).toBeNaN();
  });
});
