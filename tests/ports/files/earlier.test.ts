import {
  existsSync,
  mkdirSync,
  mkdtempSync,
  readdirSync,
  readFileSync,
  rmSync,
  utimesSync,
  writeFileSync,
} from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import { keepEarlier, moveEarlier } from '../../../src/ports/files/earlier.js';
import { saveBuild, tryBuild } from '../../../src/ports/files/files.js';
import type { Build } from '../../../src/instrument/types.js';

let folder: string;
beforeEach(() => {
  folder = mkdtempSync(join(tmpdir(), 'pluckwork-earlier-'));
});
afterEach(() => {
  rmSync(folder, { recursive: true, force: true });
});

const build = (rest: number): Build => ({
  wiring: [0],
  pads: [{ rest, span: 500, noise: 3, coupling: [] }],
});
const earlier = (): string[] => readdirSync(join(folder, 'builds/earlier')).sort();
const restOf = (file: string): number =>
  (JSON.parse(readFileSync(join(folder, 'builds', file), 'utf8')) as Build).pads[0]!.rest;

describe('a build that is written where there is one', () => {
  it('leaves the one that was there, under the date of its last change, and says how to go back', async () => {
    const first = await saveBuild(build(1), 'north', folder);
    expect(first.earlier).toBeNull();
    const noon = new Date(2026, 10, 30, 9, 10, 44);
    utimesSync(first.path, noon, noon);
    const second = await saveBuild(build(2), 'north', folder);
    expect(earlier()).toEqual(['north-2026-11-30T0910.json']);
    expect(restOf('earlier/north-2026-11-30T0910.json')).toBe(1);
    expect(restOf('north.json')).toBe(2);
    expect(second.earlier?.what).toMatch(
      /^What was there before is kept as .*builds\/earlier\/north-2026-11-30T0910\.json$/,
    );
    expect(second.earlier?.next).toMatch(/^To go back to it, copy it over .*builds\/north\.json$/);
  });

  it('keeps each of several within a second, and none twice', async () => {
    for (const rest of [1, 2, 3, 3, 3, 4]) await saveBuild(build(rest), 'north', folder);
    expect(restOf('north.json')).toBe(4);
    expect(
      earlier()
        .map((file) => restOf(`earlier/${file}`))
        .sort(),
    ).toEqual([1, 2, 3]);
  });

  it('is tried before anybody touches a pad for it', async () => {
    tryBuild('north', folder);
    expect(readdirSync(join(folder, 'builds'))).toEqual([]);
    mkdirSync(join(folder, 'builds/north.json'));
    expect(() => tryBuild('north', folder)).toThrow(/cannot be written \(it is a folder\)/);
    rmSync(join(folder, 'builds'), { recursive: true });
    writeFileSync(join(folder, 'builds'), '');
    expect(() => tryBuild('north', folder)).toThrow(/cannot be written \(a file is where a folder/);
    await expect(saveBuild(build(1), 'north', folder)).rejects.toThrow(/begin again/);
  });
});

describe('a file that is written again', () => {
  it('is moved away first, whatever its name', () => {
    const at = new Date(2031, 4, 6, 9, 8);
    for (const [name, kept] of [
      ['ex.take.jsonl', 'ex-2031-05-06T0908.take.jsonl'],
      ['ex.take.jsonl.gz', 'ex-2031-05-06T0908.take.jsonl.gz'],
      ['plain', 'plain-2031-05-06T0908'],
      ['.hidden', '.hidden-2031-05-06T0908'],
    ] as const) {
      const path = join(folder, name);
      expect(keepEarlier(path)).toBeNull();
      writeFileSync(path, name);
      utimesSync(path, at, at);
      expect(moveEarlier(path)).toBe(join(folder, 'earlier', kept));
      expect(readFileSync(join(folder, 'earlier', kept), 'utf8')).toBe(name);
      expect(existsSync(path)).toBe(false);
    }
  });
});
