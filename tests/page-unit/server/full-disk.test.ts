import type * as fs from 'node:fs';
import { existsSync, mkdirSync, symlinkSync } from 'node:fs';
import { join } from 'node:path';
import { describe, expect, it, vi } from 'vitest';
import { FakePage, startHost } from './fake-host.js';

// Takes' names count as free, so that what stands in their place is written to.
vi.mock('node:fs', async (original) => {
  const actual = await original<typeof fs>();
  const free = (path: fs.PathLike): boolean => String(path).endsWith('.take.jsonl');
  return { ...actual, existsSync: (path: fs.PathLike) => !free(path) && actual.existsSync(path) };
});

/** A take's name for each of the next seconds; the program's own times are of here too. */
function namesFrom(now: number): string[] {
  return Array.from({ length: 20 }, (_, i) => {
    const at = new Date(now + 1_000 * i);
    const two = (value: number): string => String(value).padStart(2, '0');
    const day = [at.getFullYear(), at.getMonth() + 1, at.getDate()].map(two).join('-');
    const time = [at.getHours(), at.getMinutes(), at.getSeconds()].map(two).join('');
    return `south-${day}-${time}.take.jsonl`;
  });
}

describe.runIf(existsSync('/dev/full'))('on a full disk (Linux has such a file)', () => {
  it('a recording ends at once, and pages are told why', async () => {
    const host = await startHost();
    const page = new FakePage(host.port);
    mkdirSync(host.takes, { recursive: true });
    for (const name of namesFrom(Date.now())) symlinkSync('/dev/full', join(host.takes, name));
    expect(await page.ask({ ask: 'record', seat: 1, do: 'begin' })).toBeNull();
    // Nobody ends it.
    await page.until(() => host.notices().length > 1);
    expect(host.notices()).toEqual([
      expect.stringMatching(/^Recording to .*: an hour takes up to \d/),
      expect.stringMatching(/^the take could not be written: .*: the disk is full$/),
    ]);
    await page.until(() => page.last('recording')?.now === null);
    expect(await page.ask({ ask: 'record', seat: 1, do: 'end' })).toBe(
      'Nothing is being recorded. Begin first.',
    );
    // Its readings are needed no more.
    const last = (): string => JSON.stringify(host.orders.at(-1));
    await page.until(() => last() === '{"ask":"readings","seats":[]}');
  });
});
