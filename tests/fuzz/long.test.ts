import { describe, expect, it } from 'vitest';
import { feedDatagrams } from './long/datagrams.js';
import { Account, type Feed } from './long/fed.js';
import { feedFiles } from './long/files.js';
import { feedMidi } from './long/midi.js';

const MINUTES = 60_000;

/** Uses the processor for so many ms, however busy it is otherwise. */
function burn(ms: number): void {
  const begun = process.cpuUsage();
  while (process.cpuUsage(begun).user < 1_000 * ms);
}

describe('bad input', () => {
  // A small part of it. All: npx tsx tests/fuzz/long/main.ts midi, datagrams and files.
  it.each<[what: string, feed: Feed, count: number, does: RegExp]>([
    ['MIDI bytes', feedMidi, 100_000, /^notes by/],
    ['datagrams', feedDatagrams, 20_000, /^notes by/],
    ['files', feedFiles, 1_500, /takes: taken|rules: refused/],
  ])(
    '%s break no promise, and some of them play or are read',
    async (_, feed, count, does) => {
      const { broken, outcomes, count: fed } = await feed(1, count);
      expect(broken).toEqual([]);
      expect(fed).toBe(count);
      const done = Object.entries(outcomes).filter(([what]) => does.test(what));
      expect(done.reduce((sum, [, n]) => sum + n, 0)).toBeGreaterThan(20);
    },
    5 * MINUTES,
  );

  it('counts as broken what throws, takes long, or stays in memory', () => {
    const account = new Account(4_000, undefined, 100);
    const kept: Uint8Array[] = [];
    for (let n = 0; n < 4_000; n++) {
      account.feed(1, `input ${String(n)}`, () => {
        if (n === 7) throw new Error('no such input');
        if (n === 3_000) burn(130);
        if (n > 3_900) kept.push(new Uint8Array(500_000));
      });
    }
    const { broken } = account.end();
    expect(kept).toHaveLength(99);
    expect(broken[0]).toMatch(/^input 7: Error: no such input/);
    expect(broken[1]).toMatch(/^4\d\.\d MB more are in use/);
    expect(broken[2]).toMatch(/^input 3099 took \d{3,} ms/);
  });
});
