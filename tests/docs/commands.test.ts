import { execFileSync } from 'node:child_process';
import { readFileSync } from 'node:fs';
import { fileURLToPath } from 'node:url';
import { expect, it } from 'vitest';
import { noteLine } from '../../src/commands/play/play.js';

const root = fileURLToPath(new URL('../../', import.meta.url));

it('no text asks the registry for a package of our name, which anybody may have taken', () => {
  const files = execFileSync('git', ['ls-files', '-z'], { cwd: root, encoding: 'utf8' })
    .split('\0')
    .filter((file) => /\.(md|ts|tsx|ya?ml|json|js|h|ino|html)$/.test(file));
  expect(files).toContain('README.md');
  const wrong = new RegExp(`npx (?!--no )\\S*${'pluckwork'}`);
  expect(files.filter((file) => wrong.test(readFileSync(root + file, 'utf8')))).toEqual([]);
  const { private: isPrivate } = JSON.parse(readFileSync(`${root}package.json`, 'utf8')) as {
    private?: boolean;
  };
  expect(isPrivate).toBe(true);
});

it('a note of a module that does not say its fret is not called an open string', () => {
  const line = (note: number, logic: object | null): string => {
    const instrument = { kind: 'strings', strings: [{ open: 28, frets: [0], pluck: 1 }] };
    const seat = { ready: { seat: { name: 'north' } }, plan: { instrument, rules: { logic } } };
    const event = { t: 0, note, string: 0, fret: 0, velocity: 90, how: 'pluck' };
    return noteLine(event as never, seat as never);
  };
  expect(line(40, {})).toMatch(/E2 {3}string E1, velocity 90$/);
  expect(line(28, {})).toMatch(/E1 {3}open string, velocity 90$/);
  expect(line(28, null)).toMatch(/E1 {3}open string, velocity 90$/);
});
