import { spawn } from 'node:child_process';
import { existsSync, readFileSync, rmSync, statSync } from 'node:fs';
import { join } from 'node:path';
import { afterAll, afterEach, beforeEach, describe, expect, it } from 'vitest';
import { busyTake } from '../support/busy-take.js';
import { endPrograms, MAIN, start, workFolder } from './program.js';

const folder = workFolder();
const settings = join(folder.path, 'settings');
const env = { XDG_CONFIG_HOME: settings, APPDATA: settings, HOME: folder.path };
const KEPT = join(settings, 'pluckwork', 'trusted-modules');
const pluckwork = (...args: string[]) => start(args, folder.path, env).ended;

/** Says that it runs, whenever a pad is struck. */
const MODULE = `var ownLogic = (() => ({
  begin: () => ({}),
  step: (state, event) => {
    if (event.type === 'strike') console.log('it ran');
    return { state };
  },
}))();
ownLogic`;
const RULES = { name: 'theirs', logic: { file: 'theirs.ts', code: MODULE } };
const [HEADER = '', ...LINES] = busyTake(4).trimEnd().split('\n');
const half = Math.floor(LINES.length / 2);

folder.write(
  'header.take.jsonl',
  [JSON.stringify({ ...(JSON.parse(HEADER) as object), rules: RULES }), ...LINES, ''].join('\n'),
);
const [at] = JSON.parse(LINES[half]!) as [number];
folder.write(
  'swap.take.jsonl',
  [
    HEADER,
    ...LINES.slice(0, half),
    JSON.stringify({ t: at, swap: { rules: RULES } }),
    ...LINES.slice(half),
    '',
  ].join('\n'),
);
folder.write(
  'rooms/copy.yaml',
  `seats:
  - { name: copy, instrument: bass-4x4, from: { take: swap.take.jsonl } }
to:
  - osc: { host: 127.0.0.1, port: 9 }
`,
);

beforeEach(() => {
  rmSync(settings, { recursive: true, force: true });
});
afterEach(endPrograms);
afterAll(folder.remove);

/** Runs it in a terminal, which util-linux's \`script\` makes, and gives an answer where it asks. */
function inTerminal(
  answer: string,
  ...args: string[]
): Promise<{ code: number | null; out: string }> {
  const line = [process.execPath, MAIN, ...args].map((one) => `'${one}'`).join(' ');
  const child = spawn('script', ['-qec', line, '/dev/null'], {
    cwd: folder.path,
    env: { ...process.env, ...env },
  });
  let out = '';
  return new Promise((resolve) => {
    child.stdout.on('data', (bytes: Buffer) => {
      const asked = out.includes('[y/N]');
      out += bytes.toString();
      if (!asked && out.includes('[y/N]')) child.stdin.write(`${answer}\n`);
    });
    child.on('close', (code) => {
      resolve({ code, out });
    });
  });
}

describe('a module that a take carries', () => {
  it.each([
    ['rerun', 'header.take.jsonl'],
    ['rerun', 'swap.take.jsonl'],
    ['explain', 'swap.take.jsonl', '--at', '3s'],
    ['compare', 'header.take.jsonl', '--rules', 'plain'],
    ['score', 'header.take.jsonl', '--wanted', 'none.jsonl'],
    ['play', 'copy', '--quiet'],
  ])('is not run by %s %s where there is nobody to ask', async (...args) => {
    folder.write('none.jsonl', '');
    const { code, err } = await pluckwork(...args);
    expect(code).toBe(1);
    expect(err).not.toContain('it ran');
    expect(err).toContain(
      'it carries a module of its own, "theirs.ts", which is a program and was never allowed to run here',
    );
    expect(err).toContain('add --trust');
    expect(existsSync(KEPT)).toBe(false);
  });

  it('is run once with --trust, and not by the rules of one’s own', async () => {
    const once = await pluckwork('rerun', 'header.take.jsonl', '--trust');
    expect([once.code, once.err.includes('theirs.ts: it ran')]).toEqual([0, true]);
    expect((await pluckwork('rerun', 'header.take.jsonl')).code).toBe(1);
    expect(existsSync(KEPT)).toBe(false);
    const own = await pluckwork('rerun', 'header.take.jsonl', '--rules', 'plain');
    expect([own.code, own.err]).toEqual([0, '']);
    expect((await pluckwork('check', '--take', 'header.take.jsonl')).code).toBe(0);
  });

  it('that comes with this program runs without a question, and the take does not say where it lies', async () => {
    folder.write('short.take.jsonl', [HEADER, ...LINES.slice(0, half), ''].join('\n'));
    folder.write(
      'rooms/ours.yaml',
      `seats:
  - { name: a, instrument: bass-4x4, rules: arpeggio, from: { take: short.take.jsonl } }
  - { name: b, instrument: bass-4x4, rules: strum, from: { take: short.take.jsonl } }
to: [{ osc: { host: 127.0.0.1, port: 9 } }]
`,
    );
    const played = await pluckwork('play', 'ours', '--record', 'ours', '--quiet');
    expect(played.code, played.err).toBe(0);
    rmSync(settings, { recursive: true, force: true });
    const take = /\S*room\.take\.jsonl/.exec(played.err)![0];
    const text = readFileSync(join(folder.path, take), 'utf8');
    expect(text).toContain('"file":"logic/arpeggio.ts"');
    const again = await pluckwork('rerun', take);
    expect([again.code, again.err]).toEqual([0, '']);
    // With one more space in it, it is another program.
    folder.write('other.take.jsonl', text.replaceAll('var ownLogic =', 'var  ownLogic ='));
    expect((await pluckwork('rerun', 'other.take.jsonl')).err).toContain(
      'never allowed to run here',
    );
    expect(existsSync(KEPT)).toBe(false);
  });

  it('that is this person’s own file, and was recorded here, runs again without a question', async () => {
    folder.write(
      'own.js',
      MODULE.replace('var ownLogic = (() => (', 'const all = ').replace(
        /\)\)\(\);\nownLogic$/,
        ';\nexport const { begin, step } = all;\n',
      ),
    );
    folder.write('rules/own.yaml', 'logic: ../own.js\n');
    const seat = (name: string): string =>
      `  - { name: ${name}, instrument: bass-4x4, rules: own, from: { take: short.take.jsonl } }\n`;
    folder.write('short.take.jsonl', [HEADER, ...LINES.slice(0, half), ''].join('\n'));
    const to = 'to:\n  - osc: { host: 127.0.0.1, port: 9 }\n';
    folder.write('rooms/own.yaml', `seats:\n${seat('a')}${seat('b')}${to}`);
    const played = await pluckwork('play', 'own', '--record', 'kept', '--quiet');
    expect(played.code, played.err).toBe(0);
    const take = /\S*room\.take\.jsonl/.exec(played.err)![0];
    expect(readFileSync(join(folder.path, take), 'utf8')).toContain('ownLogic');
    const again = await pluckwork('rerun', take);
    expect([again.code, again.err.includes('it ran')]).toEqual([0, true]);
  });
});

// The system's own \`script\` is part of every Debian; elsewhere it takes other options.
describe.runIf(process.platform === 'linux')('in a terminal', () => {
  it('it is asked about, and not run where the answer is no', async () => {
    const { code, out } = await inTerminal('n', 'rerun', 'header.take.jsonl');
    expect(code).toBe(1);
    expect(out).toContain('The take carries a module of its own, "theirs.ts" (1 KB, SHA-256 ');
    expect(out).toContain('the module that it carries was not run');
    expect(out).not.toContain('it ran');
    expect(existsSync(KEPT)).toBe(false);
  });

  it('it runs where the answer is yes, which is remembered by its content', async () => {
    const { code, out } = await inTerminal('y', 'rerun', 'swap.take.jsonl', '--notes', 'x.jsonl');
    expect(code, out).toBe(0);
    expect(out).toContain('theirs.ts: it ran');
    expect(statSync(KEPT).mode & 0o777).toBe(0o600);
    expect(readFileSync(KEPT, 'utf8')).toMatch(/^[0-9a-f]{64} {2}theirs\.ts\n$/);
    const again = await pluckwork('rerun', 'header.take.jsonl');
    expect([again.code, again.err.includes('it ran')]).toEqual([0, true]);
    const other = readFileSync(join(folder.path, 'header.take.jsonl'), 'utf8');
    folder.write('other.take.jsonl', other.replace('it ran', 'it runs'));
    expect((await pluckwork('rerun', 'other.take.jsonl')).code).toBe(1);
  });
});
