import { readFileSync } from 'node:fs';
import { afterAll, afterEach, describe, expect, it } from 'vitest';
import { readingsOf } from '../../src/demo/gestures.js';
import { freePort } from '../engines/csound-process.js';
import { board, closeSockets } from './osc-hands.js';
import { A1, E1, performance, plucked, UNIT } from './performance.js';
import { endPrograms, run, start, workFolder } from './program.js';

const folder = workFolder();
const pluckwork = (...args: string[]) => run(args, folder.path);
afterEach(() => {
  endPrograms();
  closeSockets();
});
afterAll(folder.remove);

/** Writes a room with one seat. */
async function hall(name = 'north'): Promise<number> {
  const port = await freePort();
  const seat = `{ name: ${name}, instrument: bass-4x4, from: { osc: ${String(port)} } }`;
  folder.write('rooms/hall.yaml', `seats:\n  - ${seat}\n`);
  return port;
}

/** The notes that begin. */
const notesOf = (text: string): number[] =>
  text
    .trimEnd()
    .split('\n')
    .map((line) => JSON.parse(line) as { type: string; note: number })
    .filter(({ type }) => type === 'on')
    .map(({ note }) => note);

describe('record, live over OSC', () => {
  it.each(['SIGINT', 'SIGTERM', 'SIGHUP'] as const)(
    'records until %s, whole and ready to be run',
    async (signal) => {
      const port = await hall();
      const out = `${signal}.take.jsonl.gz`;
      const program = start(['record', 'hall', '--out', out], folder.path);
      await program.saw(/Recording north to .*Press Ctrl-C to stop/);
      await program.saw(/Listening for boards/);
      const hand = await board(port);
      await hand.play('north', readingsOf(plucked(A1, 4, 600, 900), UNIT, 1_200_000, 4));
      // What is underway is read before the signal is: it comes by the same loop.
      await hand.settled();
      program.signal(signal);
      const { code, err } = await program.ended;
      expect(code, err).toBe(0);
      expect(err).toMatch(/Recorded \d+ scans in 1\.\d s/);
      const again = await pluckwork('rerun', out);
      expect(again.err).toBe('');
      expect(notesOf(again.out)).toEqual([37]);
    },
  );

  it('records for as long as it is told to, to a folder of its own', async () => {
    const port = await hall();
    const program = start(['record', 'hall', '--for', '3s'], folder.path);
    await program.saw(/It stops by itself/);
    await program.saw(/Listening for boards/);
    await (await board(port)).play('north', readingsOf(plucked(E1, 0, 600, 0), UNIT, 1_000_000, 4));
    const { code, err } = await program.ended;
    expect(code, err).toBe(0);
    const again = await pluckwork('rerun', 'recordings/north.take.jsonl');
    expect(notesOf(again.out)).toEqual([28]);
  });

  it('records a whole performance, and it plays again to the notes that were meant', async () => {
    const port = await hall();
    const program = start(['record', 'hall', '--out', 'all.jsonl'], folder.path);
    await program.saw(/Listening for boards/);
    const hand = await board(port);
    await hand.play('north', performance());
    await hand.settled();
    program.signal('SIGINT');
    expect((await program.ended).code).toBe(0);
    const one = await pluckwork('rerun', 'all.jsonl');
    const two = await pluckwork('rerun', 'all.jsonl');
    expect(two.out).toBe(one.out);
    expect(notesOf(one.out)).toHaveLength(16);
  });

  it('records a room of several seats in one take, or the seat that is asked for', async () => {
    const port = await freePort();
    const seat = (name: string): string =>
      `  - { name: ${name}, instrument: bass-4x4, from: { osc: ${String(port)} } }\n`;
    folder.write('rooms/two.yaml', `seats:\n${seat('one')}${seat('other')}`);
    for (const more of [[], ['--seat', 'other', '--out', 'other.jsonl']]) {
      const program = start(['record', 'two', ...more], folder.path);
      await program.saw(/Listening for boards/);
      const hands = [await board(port), await board(port)] as const;
      await Promise.all([
        hands[0].play('one', readingsOf(plucked(E1, 0, 600, 0), UNIT, 1_200_000, 4)),
        hands[1].play('other', readingsOf(plucked(A1, 4, 700, 1_000), UNIT, 1_200_000, 5)),
      ]);
      await Promise.all(hands.map((hand) => hand.settled()));
      program.signal('SIGINT');
      const { code, err } = await program.ended;
      expect(code, err).toBe(0);
    }
    const both = await pluckwork('rerun', 'recordings/room.take.jsonl');
    expect(both.err).toBe('');
    expect(notesOf(both.out)).toEqual([28, 37]);
    expect(both.out).toContain('"seat":"other"');
    expect(notesOf((await pluckwork('rerun', 'other.jsonl')).out)).toEqual([37]);
  });

  it('keeps a seat with a slash in its name in the folder all the same', async () => {
    const port = await hall('left/right');
    const program = start(['record', 'hall', '--for', '2s'], folder.path);
    await program.saw(/Listening for boards/);
    await (await board(port)).play('left/right', readingsOf([], UNIT, 400_000, 4));
    expect((await program.ended).code).toBe(0);
    expect(program.err).toContain('recordings/left-right.take.jsonl');
  });

  it('records no unit of the page, which nobody could play, and leaves an earlier take alone', async () => {
    folder.write(
      'rooms/page.yaml',
      'seats:\n  - { name: north, instrument: bass-4x4, from: { player: screen } }\n',
    );
    const out = folder.write('earlier.jsonl', 'an earlier take\n');
    for (const seat of [[], ['--seat', 'north']]) {
      const ended = await pluckwork('record', 'page', '--for', '500ms', '--out', out, ...seat);
      expect(ended.code).toBe(1);
      expect(ended.err).toMatch(
        /error: north: played by .* "pluckwork play page --record DIR" keeps/,
      );
    }
    expect(readFileSync(out, 'utf8')).toBe('an earlier take\n');
  });

  it('ends with 1 where no board sends, and with words for it', async () => {
    await hall();
    const { code, err } = await pluckwork('record', 'hall', '--for', '500ms');
    expect(code).toBe(1);
    expect(err).toMatch(
      /error: no readings came from north; the take .* is empty: check the board's cable/,
    );
  });
});
