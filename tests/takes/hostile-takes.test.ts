import { mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { planTake } from '../../src/ports/takes/plan.js';
import { openTake } from '../../src/takes/read.js';
import { openRoomTake } from '../../src/takes/room-take.js';
import type { TakeProblem } from '../../src/takes/take.js';
import { eventsIn } from '../support/takes.js';

const HEADER = '{"take":1,"inputs":20,"full":16383,"instrument":"bass-4x4"}';
const nested = (levels: number): string => `${'['.repeat(levels)}${']'.repeat(levels)}`;
const withKeys = (keys: object): string =>
  JSON.stringify({ ...(JSON.parse(HEADER) as object), ...keys });

let folder = '';
beforeAll(() => {
  folder = mkdtempSync(join(tmpdir(), 'hostile-'));
  writeFileSync(join(folder, 'own.js'), 'export const step = () => [];\n');
  writeFileSync(join(folder, 'mine.yaml'), 'touch: { on: 0.3, off: 0.2 }\n');
});
afterAll(() => {
  rmSync(folder, { recursive: true });
});

async function problemsOf(text: string): Promise<TakeProblem[]> {
  const problems: TakeProblem[] = [];
  await eventsIn(text, (problem) => problems.push(problem));
  return problems;
}

const planned = async (keys: object) =>
  planTake(join(folder, 'any.take.jsonl'), (await openTake(withKeys(keys))).header, folder, {});

describe('a take that nests deep', () => {
  it.each([65, 20_000])('is refused where its header does, by %i levels', async (levels) => {
    const open = openTake(HEADER.replace('"bass-4x4"', nested(levels)));
    await expect(open).rejects.toThrow('it nests lists or groups deeper than any take does');
  });

  it('may nest as deep as a room does', async () => {
    const take = await openTake(`${withKeys({ room: { seats: [[[[[0]]]]] } })}\n`);
    expect(take.header.room).toBeDefined();
  });

  it('has its deep lines left out', async () => {
    const deep = nested(20_000);
    expect(await problemsOf(`${HEADER}\n{"t":1,"swap":{"rules":${deep}}}\n[2,${deep},1]\n`)).toEqual([
      { line: 2, what: expect.stringContaining('deeper than any take does') as string },
      { line: 3, what: expect.stringContaining('input a list of 1 is not one of the 20') as string },
    ]);
  });

  it('is not mistaken for one that holds brackets in a text', async () => {
    const text = `a \\" ${'['.repeat(500)}`;
    expect((await openTake(withKeys({ text }))).header.text).toBe(text);
  });
});

describe('a take that names files', () => {
  it.each([
    ['rules', '/etc/passwd'],
    ['rules', '../secret'],
    ['rules', 'mine.yaml'],
    ['instrument', '/etc/hostname'],
    ['build', 'C:\\secret'],
    ['build', 'stream:of'],
    ['instrument', 'x'.repeat(300)],
  ])('as its %s by the path %s has nothing opened', async (key, path) => {
    await expect(planned({ [key]: path })).rejects.toThrow(
      new RegExp(`the take names its ${key} by ".*, which is not a plain name.*--${key}`),
    );
  });

  it('by plain names is as before', async () => {
    expect((await planned({ rules: 'instant' })).rules.name).toBe('instant');
  });

  it('as the module of the rules that it carries, has it not opened', async () => {
    await expect(planned({ rules: { logic: './own.js' } })).rejects.toThrow(
      'name a module of their own by its path, "./own.js"',
    );
    const line = '{"t":1,"swap":{"rules":{"logic":"./own.js"}}}';
    expect((await problemsOf(`${HEADER}\n${line}\n`))[0]!.what).toContain('and do not carry it');
  });
});

describe('a take with absurd numbers', () => {
  it('of inputs is refused', async () => {
    await expect(openTake(withKeys({ inputs: 1e9 }))).rejects.toThrow('number of inputs, 1 to 65536');
  });

  it('of seats is refused before they are looked at', async () => {
    const take = await openTake(withKeys({ room: { seats: Array.from({ length: 500_000 }, () => 0) } }));
    expect(() => openRoomTake(take, 'any')).toThrow('found 500000 seats, allowed: at most 512');
  });

  it('as times has those lines left out', async () => {
    const lines = '[9007199254740993,0,1]\n[1e400,0,1]\n{"t":1e300,"event":"end"}\n';
    expect(await problemsOf(`${HEADER}\n${lines}`)).toHaveLength(3);
  });
});

describe('a take saved as UTF-16', () => {
  it.each([
    ['with its mark', Buffer.from(`\uFEFF${HEADER}\n`, 'utf16le')],
    ['without', Buffer.from(`${HEADER}\n`, 'utf16le')],
    ['the other way round', Buffer.from(`\uFEFF${HEADER}\n`, 'utf16le').swap16()],
  ])('%s is told from what is no JSON, with what to do', async (_, bytes) => {
    await expect(openTake(bytes.toString('utf8'))).rejects.toThrow(
      /it seems to be saved as UTF-16.*save it as UTF-8/,
    );
  });
});
