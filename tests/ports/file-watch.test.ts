import { mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { mkdir } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { expect, test } from 'vitest';
import { watchFiles } from '../../src/ports/file-watch.js';

/** What keeps a program from ending, of watched files. */
const held = (): number =>
  process.getActiveResourcesInfo().filter((name) => name === 'FSEventWrap').length;

const pause = (ms: number): Promise<void> => new Promise((resolve) => setTimeout(resolve, ms));

test('lets the program end where the folder goes away just as the watch is closed', async () => {
  const root = mkdtempSync(join(tmpdir(), 'pluckwork-watch-'));
  const before = held();
  let watched = 0;
  for (let i = 0; i < 60; i++) {
    const folder = join(root, String(i));
    await mkdir(folder);
    const files = ['room.yaml', 'rules.yaml', 'build.json'].map((name) => join(folder, name));
    for (const file of files) writeFileSync(file, '{}\n');
    const watching = watchFiles(files, () => undefined);
    await watching.ready;
    watched = Math.max(watched, held() - before);
    rmSync(folder, { recursive: true });
    for (let turn = 0; turn < i % 6; turn++) await new Promise((resolve) => setImmediate(resolve));
    await watching.close();
  }
  await pause(200);
  expect(watched).toBeGreaterThan(0);
  expect(held() - before).toBe(0);
  rmSync(root, { recursive: true });
});
