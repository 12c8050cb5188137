import { execFile } from 'node:child_process';
import { createWriteStream, readFileSync, statSync } from 'node:fs';
import { join } from 'node:path';
import { Readable } from 'node:stream';
import { pipeline } from 'node:stream/promises';
import { createGzip } from 'node:zlib';
import { afterAll, afterEach, beforeAll, describe, expect, it } from 'vitest';
import { eventsIn } from '../support/takes.js';
import { busyTake } from '../support/busy-take.js';
import { formatHeader, formatTakeLine } from '../../src/takes/take.js';
import type { WireEvent } from '../../src/wire/scan.js';
import { endPrograms, MAIN, run, start, workFolder } from './program.js';

const folder = workFolder();
const pluckwork = (...args: string[]) => run(args, folder.path);
afterEach(endPrograms);
afterAll(folder.remove);

const HEADER = formatHeader({ take: 1, inputs: 20, full: 16_383, instrument: 'bass-4x4' });
const BLANK = '\n'.repeat(1_000_000);
const END = 12_000_000;
let played: WireEvent[];
let notes: string;

beforeAll(async () => {
  const busy = busyTake(12);
  played = await eventsIn(busy);
  folder.write('busy.take.jsonl', busy);
  notes = (await pluckwork('rerun', 'busy.take.jsonl')).out;
}, 120_000);

async function pack(name: string, pieces: Iterable<string>): Promise<string> {
  const path = join(folder.path, name);
  await pipeline(Readable.from(pieces), createGzip({ level: 1 }), createWriteStream(path));
  return path;
}

/** A take of 600 million characters, more than a text may have in Node, most of them blank lines. */
function* long(): Generator<string> {
  yield `${HEADER}\n`;
  for (const event of played) yield `${formatTakeLine(event)}\n`;
  for (let i = 0; i < 600; i++) yield `${BLANK}[${String(END + i)}]\n`;
}

describe('a take that is longer than the memory', () => {
  it('is run again in little of it', async () => {
    await pack('long.take.jsonl.gz', long());
    // All that a run may have for texts and objects, in MB; the whole text would be 600.
    const heap = { NODE_OPTIONS: '--max-old-space-size=80' };
    const program = start(['rerun', 'long.take.jsonl.gz'], folder.path, heap);
    const { code, out, err } = await program.ended;
    expect([code, err]).toEqual([0, '']);
    // The notes that sound at the end of the shorter take end later here.
    const same = notes.split('\n').slice(0, -5).join('\n');
    expect(out.startsWith(same)).toBe(true);
  }, 180_000);

  it('that is nothing but packed blank lines is refused before it costs more time', async () => {
    const path = await pack('bomb.take.jsonl.gz', [`${HEADER}\n`, ...Array(700).fill(BLANK)]);
    expect(statSync(path).size).toBeLessThan(5_000_000);
    const heap = { NODE_OPTIONS: '--max-old-space-size=80' };
    const { code, err } = await start(['rerun', 'bomb.take.jsonl.gz'], folder.path, heap).ended;
    expect(code).toBe(1);
    expect(err).toMatch(
      /^error: bomb\.take\.jsonl\.gz: nothing that can be read stands before line/,
    );
  }, 180_000);

  it('whose lines are endless is refused, or has them left out, line by line', async () => {
    const endless = 'x'.repeat(17_000_000);
    folder.write('header.take.jsonl', `{"take":1,"name":"${endless}"}\n`);
    const refused = await pluckwork('rerun', 'header.take.jsonl');
    expect([refused.code, refused.err]).toEqual([
      1,
      'error: header.take.jsonl: its first line is too long for a header.\n',
    ]);
    folder.write('line.take.jsonl', `${HEADER}\n[1]\n${endless}\n[2]\n`);
    const { code, err } = await pluckwork('rerun', 'line.take.jsonl');
    expect([code, err]).toEqual([
      0,
      'warning: it is too long for a line of a take; the line was left out (line.take.jsonl:3).\n',
    ]);
  }, 60_000);

  it('may come through a pipe where it is read once, and is not read twice', async () => {
    const piped = (command: string): Promise<string> =>
      new Promise((resolve) => {
        const line = `cat busy.take.jsonl | "${process.execPath}" "${MAIN}" ${command}`;
        execFile('sh', ['-c', line], { cwd: folder.path }, (_failed, out, err) => {
          resolve(out + err);
        });
      });
    expect(await piped('rerun /dev/stdin')).toBe(notes);
    expect(await piped('compare /dev/stdin --rules plain --rules legato')).toBe(
      'error: /dev/stdin: it comes through a pipe, which can be read once only; save it to a file first.\n',
    );
  }, 60_000);
});

describe('the sound of a take with a gap of a day', () => {
  it('that begins at a clock’s own time ends soon, and says what is left out', async () => {
    // 14 March 2031 in microseconds since 1970, then a day in which nobody played.
    const begin = 1_931_241_600_000_000;
    const moved = (by: number) =>
      played.map((event) => `${formatTakeLine({ ...event, t: event.t + by })}\n`).join('');
    const text = `${HEADER}\n${moved(begin)}${moved(begin + 86_400_000_000)}`;
    folder.write('clock.take.jsonl', text);
    const { code, err } = await pluckwork('rerun', 'clock.take.jsonl', '--wav', 'clock.wav');
    expect(code).toBe(0);
    expect(err).toMatch(
      /2 long gaps, in which nothing is played, were shortened: 22353 days? .* in all are left out \(clock\.wav\)/,
    );
    // Twice twelve seconds of playing, and five seconds for each gap: four bytes a frame at 48 kHz.
    const wav = readFileSync(join(folder.path, 'clock.wav'));
    const seconds = (wav.length - 44) / 4 / 48_000;
    expect(seconds).toBeGreaterThan(25);
    expect(seconds).toBeLessThan(40);
    expect(wav.readUInt32LE(40)).toBe(wav.length - 44);
  }, 120_000);
});
