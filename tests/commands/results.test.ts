import { existsSync, readdirSync, readFileSync } from 'node:fs';
import { join } from 'node:path';
import { afterEach, describe, expect, it } from 'vitest';
import { formatHeader, formatTakeLine } from '../../src/takes/take.js';
import { performance as played } from './performance.js';
import { endPrograms, run, workFolder } from './program.js';

let folder = workFolder();
afterEach(() => {
  endPrograms();
  folder.remove();
  folder = workFolder();
});

const path = (name: string): string => join(folder.path, name);
const WORK = 'somebody’s work of an hour\n';

function take(): void {
  const header = formatHeader({ take: 1, inputs: 20, full: 16_383, instrument: 'bass-4x4' });
  const lines = [...played()].map(formatTakeLine);
  folder.write('take.jsonl', [header, ...lines, ''].join('\n'));
}

const WRITES: readonly (readonly [string, readonly string[]])[] = [
  ['mine.jsonl', ['rerun', 'take.jsonl', '--notes', 'out/mine.jsonl']],
  ['mine.mid', ['rerun', 'take.jsonl', '--midi', 'out/mine.mid']],
  ['mine.wav', ['rerun', 'take.jsonl', '--wav', 'out/mine.wav']],
  ['mine.html', ['check', '--take', 'take.jsonl', '--html', 'out/mine.html']],
  ['mine.html', ['compare', 'take.jsonl', '--rules', 'plain', '--html', 'out/mine.html']],
  ['mine.json', ['compare', 'take.jsonl', '--rules', 'plain', '--json', 'out/mine.json']],
  ['mine.json', ['explain', 'take.jsonl', '--at', '1s', '--json', 'out/mine.json']],
  ['mine.jsonl', ['exercise', 'bass-4x4', '--out', 'out/mine.jsonl', '--force']],
];

describe('a result over a file that is there', { timeout: 60_000 }, () => {
  it.each(WRITES)('keeps what was there, and says where: %s', async (name, args) => {
    take();
    folder.write(`out/${name}`, WORK);
    const { code, err } = await run([...args], folder.path);
    expect(code, err).toBe(0);
    const [kept = '', ...more] = readdirSync(path('out/earlier'));
    expect(more).toEqual([]);
    expect(readFileSync(path(`out/earlier/${kept}`), 'utf8')).toBe(WORK);
    expect(err).toContain(`What was there before is kept as out/earlier/${kept}`);
    const written = readFileSync(path(`out/${name}`));
    expect(written.length).toBeGreaterThan(0);
    expect(written.equals(Buffer.from(WORK))).toBe(false);
  });

  it('keeps nothing twice where the result is the same again', async () => {
    take();
    const again = ['rerun', 'take.jsonl', '--midi', 'out/mine.mid'];
    for (let n = 0; n < 2; n++) {
      const { code, err } = await run(again, folder.path);
      expect(code, err).toBe(0);
    }
    expect(existsSync(path('out/earlier'))).toBe(false);
  });

  it.each([
    [['check', '--take', 'take.jsonl', '--html', './take.jsonl'], 'is the take itself'],
    [['compare', 'take.jsonl', '--rules', 'plain', '--html', 'take.jsonl'], 'is the take itself'],
    [['explain', 'take.jsonl', '--at', '1s', '--json', 'take.jsonl'], 'is the take itself'],
    [['rerun', 'take.jsonl', '--notes', 'x', '--midi', './x'], 'is written by --notes too'],
    [['rerun', 'take.jsonl', '--midi', 'rooms/class.yaml'], 'a file that people write (.yaml)'],
  ])('is refused where it would be what is read, or another file: %j', async (args, why) => {
    take();
    folder.write('rooms/class.yaml', WORK);
    const before = readFileSync(path('take.jsonl'));
    const { code, err } = await run([...args], folder.path);
    expect([code, err]).toEqual([2, expect.stringContaining(why)]);
    expect(readFileSync(path('take.jsonl')).equals(before)).toBe(true);
    expect(readFileSync(path('rooms/class.yaml'), 'utf8')).toBe(WORK);
    expect(readdirSync(folder.path).sort()).toEqual(['rooms', 'take.jsonl']);
  });

  it.each(['notes', 'midi', 'wav'])(
    'stays where %s of a take that cannot be read is asked for',
    async (what) => {
      const header = formatHeader({ take: 1, inputs: 20, full: 16_383, instrument: 'bass-4x4' });
      folder.write('bad.jsonl', `${header}\n{{{\n{{{\n`);
      folder.write('out/mine', WORK);
      const { code, err } = await run(['rerun', 'bad.jsonl', `--${what}`, 'out/mine'], folder.path);
      expect(code).toBe(1);
      expect(err).toContain('holds no line that can be read, so nothing was written');
      expect(readFileSync(path('out/mine'), 'utf8')).toBe(WORK);
      expect(readdirSync(path('out'))).toEqual(['mine']);
    },
  );
});
