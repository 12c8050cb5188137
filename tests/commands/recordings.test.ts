import { spawn } from 'node:child_process';
import {
  existsSync,
  mkdirSync,
  readdirSync,
  readFileSync,
  readlinkSync,
  rmSync,
  statSync,
  unlinkSync,
  writeFileSync,
} from 'node:fs';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { afterEach, describe, expect, it } from 'vitest';
import { takeBytesAnHour, diskNotice } from '../../src/ports/takes/disk-use.js';
import { newRecordingFolder, throughLatest } from '../../src/ports/takes/recordings.js';
import { formatHeader, formatTakeLine } from '../../src/takes/take.js';
import { bassPlan } from '../support/bass.js';
import { performance as played } from './performance.js';
import { endPrograms, run, start, workFolder } from './program.js';

let folder = workFolder();
afterEach(() => {
  endPrograms();
  folder.remove();
  folder = workFolder();
});

const path = (name: string): string => join(folder.path, name);

/** A room that plays a take to its end. */
function short(): void {
  const header = formatHeader({ take: 1, inputs: 20, full: 16_383, instrument: 'bass-4x4' });
  const lines = [...played()].filter(({ t }) => t < 1_500_000).map(formatTakeLine);
  folder.write('short.jsonl', [header, ...lines, ''].join('\n'));
  folder.write(
    'rooms/hall.yaml',
    'seats: [{ name: north, instrument: bass-4x4, from: { take: short.jsonl } }]\nto: [{ osc: { host: 127.0.0.1, port: 9 } }]\n',
  );
}

describe('play --record', { timeout: 120_000 }, () => {
  it('keeps every lesson in a folder of its own, and latest leads to the last one', async () => {
    short();
    const first = await run(['play', 'hall', '--record', 'kept'], folder.path);
    expect(first.code, first.err).toBe(0);
    expect(first.err).toMatch(
      /Recording to kept\/\d{4}-\d\d-\d\dT\d{4}: an hour takes up to [\d.]+ [MG]B, and [\d.]+ [MG]B are free\./,
    );
    const [one = ''] = readdirSync(path('kept')).filter((name) => name !== 'latest');
    const take = readFileSync(path(`kept/${one}/north.take.jsonl`));
    const second = await run(['play', 'hall', '--record', 'kept'], folder.path);
    expect(second.code, second.err).toBe(0);
    const folders = readdirSync(path('kept')).filter((name) => name !== 'latest');
    expect(folders).toHaveLength(2);
    expect(readFileSync(path(`kept/${one}/north.take.jsonl`)).equals(take)).toBe(true);
    const other = folders.find((name) => name !== one)!;
    expect(readlinkSync(path('kept/latest'))).toBe(other);
    const again = await run(['rerun', 'kept/latest/north.take.jsonl'], folder.path);
    expect(again.out).toBe(readFileSync(path(`kept/${other}/notes.jsonl`), 'utf8'));

    // Where a disk has no links.
    unlinkSync(path('kept/latest'));
    writeFileSync(path('kept/latest'), `${one}\n`);
    const text = await run(['rerun', 'kept/latest/north.take.jsonl'], folder.path);
    expect(text.out).toBe(readFileSync(path(`kept/${one}/notes.jsonl`), 'utf8'));
  });

  it('ends with 1 and says so where what it kept is not there any more', async () => {
    const program = start(['play', 'demo', '--record', 'kept'], folder.path);
    await program.saw(/Playing\./);
    rmSync(path('kept/latest/bass.take.jsonl'), { force: true });
    const names = readdirSync(path('kept/latest')).filter((name) => /take\.jsonl$/.test(name));
    rmSync(path(`kept/latest/${names[0]!}`));
    program.signal('SIGTERM');
    const { code, err } = await program.ended;
    expect(code, err).toBe(1);
    expect(err).toMatch(/error: kept\/.*\/[\w-]+\.take\.jsonl is not there any more: it was moved/);
    const kept = /Kept: (.*)\.\n/.exec(err)?.[1]?.split(', ') ?? [];
    expect(kept).toContainEqual(expect.stringMatching(/\/room\.wav$/));
    for (const name of kept) expect(existsSync(path(name))).toBe(true);
  });

  it.runIf(process.platform === 'linux')(
    'says so at once where a disk takes no more, and plays on',
    async () => {
      const main = fileURLToPath(new URL('../../dist/commands/main.js', import.meta.url));
      const command = `ulimit -f 24; exec "$0" "$@"`;
      const args = [process.execPath, main, 'play', 'demo', '--page', 'off', '--record', 'kept'];
      const child = spawn('bash', ['-c', command, ...args], { cwd: folder.path });
      let [out, err, atFault] = ['', '', -1];
      child.stdout.on('data', (chunk: Buffer) => (out += chunk.toString()));
      child.stderr.on('data', (chunk: Buffer) => {
        err += chunk.toString();
        if (atFault < 0 && /\(recording\)/.test(err)) atFault = out.length;
      });
      const ended = new Promise<number | null>((resolve) => child.on('close', resolve));
      const end = setInterval(() => {
        if (atFault < 0 || out.slice(atFault).split('\n').length <= 3) return;
        // Once: a second one ends it at once, whatever is still to be written.
        clearInterval(end);
        child.kill('SIGTERM');
      }, 100);
      const code = await ended;
      expect(err).toMatch(
        /^error: kept\/.*: the disk takes no larger file \(recording\)\. Playing goes on, but no more is kept/m,
      );
      expect(code).toBe(1);
    },
  );
});

describe('record --out', { timeout: 60_000 }, () => {
  it('moves a take that is there away, and says where to', async () => {
    short();
    folder.write('mine.take.jsonl', 'worth an hour');
    const { code, err } = await run(['record', 'hall', '--out', 'mine.take.jsonl'], folder.path);
    expect(code, err).toBe(0);
    const [, kept = ''] = /kept as (earlier\/mine-[\dT-]+\.take\.jsonl)\./.exec(err) ?? [];
    expect(readFileSync(path(kept), 'utf8')).toBe('worth an hour');
    expect(readFileSync(path('mine.take.jsonl'), 'utf8')).toMatch(/^{"take":1/);
    expect(err).toMatch(/Recording to mine\.take\.jsonl: an hour takes up to \d+ MB/);
  });
});

describe('a folder for a recording', () => {
  it('is a new one each time, and nothing of a person is replaced by latest', () => {
    const at = new Date(2026, 10, 30, 9, 10);
    const paths = [1, 2, 3].map(() => newRecordingFolder(path('kept'), at).path);
    expect(paths.map((one) => one.slice(path('kept/').length))).toEqual([
      '2026-11-30T0910',
      '2026-11-30T0910-2',
      '2026-11-30T0910-3',
    ]);
    mkdirSync(path('other/latest'), { recursive: true });
    folder.write('other/latest/mine.txt', 'mine');
    expect(newRecordingFolder(path('other'), at).notice?.what).toMatch(/something of your own/);
    expect(readFileSync(path('other/latest/mine.txt'), 'utf8')).toBe('mine');
    folder.write('file', '');
    expect(() => newRecordingFolder(path('file'))).toThrow(/a file is where a folder must be/);
    expect(throughLatest('a/latest/b')).toBe('a/latest/b');
  });
});

describe('what an hour takes of the disk', () => {
  it('is near what a recording takes, at the rate of the fastest boards', () => {
    // Real lines of the made-up bass, which reports all of its pads at 250 scans a second.
    const scans = [...played()];
    const bytes = scans.reduce((sum, scan) => sum + formatTakeLine(scan).length + 1, 0);
    const hour = (bytes / scans.length) * 250 * 3_600;
    const said = takeBytesAnHour(bassPlan());
    expect(said / hour).toBeGreaterThan(0.9);
    expect(said / hour).toBeLessThan(1.2);
  });

  it('is a warning where less than that is free', () => {
    expect(diskNotice('a', folder.path, 1e18)).toMatchObject({
      level: 'warn',
      what: expect.stringMatching(
        /^Recording to a: an hour takes up to 1000000000 GB, and/,
      ) as string,
      next: expect.stringMatching(
        /^Make room on the disk: it may be full after \d+ minutes?$/,
      ) as string,
    });
    expect(statSync(folder.path).isDirectory()).toBe(true);
  });
});
