import { mkdirSync, renameSync, rmSync, symlinkSync } from 'node:fs';
import { join } from 'node:path';
import { afterEach, describe, expect, it } from 'vitest';
import { freePort } from '../engines/csound-process.js';
import { endPrograms, start, workFolder, type Program } from './program.js';

let folder = workFolder();
afterEach(() => {
  endPrograms();
  folder.remove();
  folder = workFolder();
});

const rules = (ring: string): string => `strings:\n  ring: ${ring}\n`;
const room = (port: number, level = 0.5): string =>
  `seats:\n  - name: north\n    instrument: bass-4x4\n    from: { osc: ${String(port)} }\n` +
  `    rules: mine\n    level: ${String(level)}\nto:\n  - osc: { host: 127.0.0.1, port: 9 }\n`;

let port = 0;

async function play(): Promise<Program> {
  port = await freePort();
  folder.write('rooms/hall.yaml', room(port));
  folder.write('rules/mine.yaml', rules('1s'));
  const program = start(['play', 'hall'], folder.path);
  await program.saw(/Playing\. /);
  return program;
}

/** What the program says from now on. */
function from(program: Program): (pattern: RegExp) => Promise<string> {
  const before = program.err.length;
  return async (pattern) => {
    const end = Date.now() + 25_000;
    for (;;) {
      const found = pattern.exec(program.err.slice(before));
      if (found) return found[0];
      if (Date.now() > end) {
        throw new Error(`it never said ${String(pattern)}:\n${program.err.slice(before)}`);
      }
      await new Promise((resolve) => setTimeout(resolve, 50));
    }
  };
}

const IN_EFFECT = /New rules in effect \(rules\/mine\.yaml\)/;
let rings = 1;

/** Saves the rules with another value, and waits until that has taken effect. */
async function saved(program: Program): Promise<void> {
  const said = from(program);
  folder.write('rules/mine.yaml', rules(`${String((rings += 1))}s`));
  await said(IN_EFFECT);
}

async function stop(program: Program): Promise<string> {
  program.signal('SIGTERM');
  const { code, err } = await program.ended;
  expect(code, err).toBe(0);
  return err;
}

const path = (name: string): string => join(folder.path, name);

describe('a file of a room that plays', { timeout: 120_000 }, () => {
  it('may be away for a while: both are said, and later edits count', async () => {
    const program = await play();
    const said = from(program);
    rmSync(path('rules/mine.yaml'));
    await said(/warning: rules\/mine\.yaml is gone\. What it said plays on\. Put it back/);
    folder.write('rules/mine.yaml', rules('1s'));
    await said(/rules\/mine\.yaml is back/);
    await saved(program);
    await saved(program);
    expect((await stop(program)).match(/is gone/g)).toHaveLength(1);
  });

  it('may be a folder for a while', async () => {
    const program = await play();
    const said = from(program);
    rmSync(path('rules/mine.yaml'));
    mkdirSync(path('rules/mine.yaml'));
    await said(/rules\/mine\.yaml is gone/);
    rmSync(path('rules/mine.yaml'), { recursive: true });
    folder.write('rules/mine.yaml', rules('1s'));
    await said(/rules\/mine\.yaml is back/);
    await saved(program);
    await stop(program);
  });

  it('may be the room file itself', async () => {
    const program = await play();
    const said = from(program);
    rmSync(path('rooms/hall.yaml'));
    await said(/rooms\/hall\.yaml is gone/);
    folder.write('rooms/hall.yaml', room(port, 0.25));
    await said(/rooms\/hall\.yaml is back/);
    await said(/Now level 0\.25 \(seat/);
    await saved(program);
    await stop(program);
  });

  it('may be in a folder that is moved away and comes back', async () => {
    const program = await play();
    const said = from(program);
    renameSync(path('rules'), path('elsewhere'));
    await said(/rules\/mine\.yaml is gone/);
    renameSync(path('elsewhere'), path('rules'));
    await said(/rules\/mine\.yaml is back/);
    await saved(program);
    await stop(program);
  });

  it('may be behind a link, and be saved by a rename', async () => {
    mkdirSync(path('kept'));
    mkdirSync(path('rules'));
    symlinkSync('../kept/mine.yaml', path('rules/mine.yaml'));
    const program = await play();
    let said = from(program);
    folder.write('kept/mine.yaml', rules('7s'));
    await said(IN_EFFECT);
    said = from(program);
    folder.write('kept/.mine.swp', rules('8s'));
    renameSync(path('kept/.mine.swp'), path('kept/mine.yaml'));
    await said(IN_EFFECT);
    await stop(program);
  });

  it('that is named before it is there counts as soon as it is', async () => {
    const program = await play();
    const said = from(program);
    folder.write('rooms/hall.yaml', room(port).replace('rules: mine', 'rules: yours'));
    await said(/hall\.yaml:5:12\).*Put a file yours\.yaml into rules/);
    folder.write('rules/yours.yaml', rules('5s'));
    await said(/The files are right again/);
    await said(/New rules in effect \(rules\/yours\.yaml\)/);
    await stop(program);
  });

  it('that a whole class shares is told of once', async () => {
    port = await freePort();
    const seats = Array.from(
      { length: 30 },
      (_, i) =>
        `  - { name: s${String(i)}, instrument: bass-4x4, from: { osc: ${String(port)} }, rules: mine }\n`,
    );
    folder.write(
      'rooms/hall.yaml',
      `seats:\n${seats.join('')}to: [{ osc: { host: 127.0.0.1, port: 9 } }]\n`,
    );
    folder.write('rules/mine.yaml', rules('1s'));
    const program = start(['play', 'hall'], folder.path);
    await program.saw(/Playing\. /);
    const said = from(program);
    folder.write('rules/mine.yaml', rules('2s'));
    await said(
      /New rules in effect \(rules\/mine\.yaml\) \(seats s0, s1, s2, s3, s4, s5 and 24 more\)\./,
    );
    expect((await stop(program)).match(/New rules/g)).toHaveLength(1);
  });

  it('that was emptied by a save that went wrong changes nothing', async () => {
    const program = await play();
    const said = from(program);
    folder.write('rules/mine.yaml', '');
    await said(/found an empty file, allowed: at least one key \(rules\/mine\.yaml:1:1\)/);
    expect(program.err).not.toMatch(IN_EFFECT);
    await saved(program);
    await stop(program);
  });

  it.each([
    ['brackets as keys', '{'.repeat(40) + '}'.repeat(40), /found brackets or a reference where/],
    [
      '60,000 keys',
      Array.from({ length: 60_000 }, (_, i) => `k${String(i)}: 1\n`).join(''),
      /found more than 100000 words and signs/,
    ],
    ['a part that holds itself', '&a [*a]', /found a reference \(\*\)/],
  ])('with %s is refused with its line, and the next one counts', async (_what, text, words) => {
    const program = await play();
    const said = from(program);
    folder.write('rules/mine.yaml', text);
    await said(words);
    expect(program.err).toMatch(/\(rules\/mine\.yaml:\d+:\d+\)/);
    await saved(program);
    const err = await stop(program);
    expect(err).not.toMatch(/could not be read|Invalid string/);
  });
});
