import { readFileSync } from 'node:fs';
import { join } from 'node:path';
import { parseMidi } from 'midi-file';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { freePort } from '../engines/csound-process.js';
import { board, closeSockets } from './osc-hands.js';
import { performance, ringing } from './performance.js';
import { endPrograms, run, start, workFolder, type Ended } from './program.js';

const folder = workFolder();
const pluckwork = (...args: string[]): Promise<Ended> => run(args, folder.path);
const bytes = (name: string): Buffer => readFileSync(join(folder.path, name));
const text = (name: string): string => bytes(name).toString();

/* Two boards at a board's pace, real sockets, the real clock, a room that shares and changes notes. */
beforeAll(async () => {
  const port = await freePort();
  folder.write(
    'rooms/hall.yaml',
    `voices: 3
scale: [C, D, E, F, G, A, B]
seats:
  - { name: north, instrument: bass-4x4, from: { osc: ${String(port)} }, steady: false, lead: true, pan: -0.5 }
  - { name: south, instrument: bass-4x4, from: { osc: ${String(port)} }, steady: false, rules: instant, sound: 33 }
to:
  - midi: { virtual: nobody listens }
`,
  );
  const program = start(['play', 'hall', '--record', 'kept'], folder.path);
  await program.saw(/Listening for boards/);
  const boards = [await board(port), await board(port)] as const;
  await Promise.all([boards[0].play('north', performance()), boards[1].play('south', ringing())]);
  program.signal('SIGINT');
  const ended = await program.ended;
  expect(ended.code, ended.err).toBe(0);
}, 60_000);
afterAll(() => {
  endPrograms();
  closeSockets();
  folder.remove();
});

const ons = (notes: string): Record<string, unknown>[] =>
  notes
    .trimEnd()
    .split('\n')
    .map((line) => JSON.parse(line) as Record<string, unknown>)
    .filter(({ type }) => type === 'on');

describe('the one take of a room that was played', () => {
  it('run again gives its notes byte for byte, with the seats’ names, and its very sound', async () => {
    const files = ['--notes', 'again.jsonl', '--wav', 'again.wav', '--midi', 'again.mid'];
    const { code, err } = await pluckwork('rerun', 'kept/latest/room.take.jsonl', ...files);
    expect(code, err).toBe(0);
    const notes = text('kept/latest/notes.jsonl');
    expect(text('again.jsonl')).toBe(notes);
    expect(bytes('again.wav').equals(bytes('kept/latest/room.wav'))).toBe(true);
    const begun = parseMidi(bytes('again.mid'))
      .tracks.flat()
      .filter(({ type }) => type === 'noteOn');
    expect(begun).toHaveLength(ons(notes).length);
    for (const seat of ['north', 'south']) {
      expect(ons(notes).filter((on) => on.seat === seat).length).toBeGreaterThan(3);
    }
    // C major holds no black keys.
    expect(ons(notes).filter(({ note }) => [1, 3, 6, 8, 10].includes(Number(note) % 12))).toEqual(
      [],
    );
  }, 60_000);

  it('stands on its own: in another folder, without the room’s files', async () => {
    const other = workFolder();
    other.write('hall.jsonl', bytes('kept/latest/room.take.jsonl'));
    const { code, out, err } = await run(['rerun', 'hall.jsonl'], other.path);
    other.remove();
    expect([code, err, out]).toEqual([0, '', text('kept/latest/notes.jsonl')]);
  });

  it('gives one seat’s playing, as that seat’s own take does', async () => {
    const picked = await pluckwork('rerun', 'kept/latest/room.take.jsonl', '--seat', 'south');
    const own = await pluckwork('rerun', 'kept/latest/south.take.jsonl');
    expect([picked.code, picked.err, picked.out]).toEqual([0, '', own.out]);
    expect(ons(own.out)).toHaveLength(4);
    const slower = ['--seat', 'south', '--rules', 'plain'];
    const other = await pluckwork('rerun', 'kept/latest/room.take.jsonl', ...slower);
    expect(ons(other.out)[0]!.t).toBeGreaterThan(ons(own.out)[0]!.t as number);
  });

  it('is scored, checked, calibrated and wired a seat at a time', async () => {
    const take = 'kept/latest/room.take.jsonl';
    await pluckwork('rerun', take, '--seat', 'north', '--notes', 'north.jsonl');
    const scored = await pluckwork(
      'score',
      take,
      '--seat',
      'north',
      '--wanted',
      'north.jsonl',
      '--json',
    );
    expect(JSON.parse(scored.out)).toMatchObject({ wanted: 16, played: 16, right: 16 });
    const checked = await pluckwork('check', '--take', take, '--seat', 'north', '--json');
    expect(checked.code, checked.err).toBe(0);
    expect(JSON.parse(checked.out)).toMatchObject({ unit: 'room.take.jsonl, north' });
    const learned = await pluckwork('calibrate', '--take', take, '--seat', 'north', '--build', 'n');
    expect(learned.code, learned.err).toBe(0);
    expect(learned.err).toContain('kept as builds');
  });

  it('asks for the seat where one is needed, and says which there are', async () => {
    const wanted = ['--wanted', 'kept/latest/notes.jsonl'];
    const all = [
      ['score', 'kept/latest/room.take.jsonl', ...wanted],
      ['check', '--take', 'kept/latest/room.take.jsonl'],
      ['calibrate', '--take', 'kept/latest/room.take.jsonl', '--build', 'n'],
      ['wire', '--take', 'kept/latest/room.take.jsonl', '--build', 'n'],
    ];
    for (const args of all) {
      const { code, out, err } = await pluckwork(...args);
      expect([code, out, err]).toEqual([
        1,
        '',
        'error: kept/latest/room.take.jsonl: the take is of a whole room; choose a seat with --seat: north, south.\n',
      ]);
    }
    const near = await pluckwork('rerun', 'kept/latest/room.take.jsonl', '--seat', 'nroth');
    expect([near.code, near.err]).toEqual([
      1,
      'error: kept/latest/room.take.jsonl: the take does not begin with a seat "nroth"; did you mean "north"?\n',
    ]);
    const idle = await pluckwork('rerun', 'kept/latest/room.take.jsonl', '--build', 'n');
    expect([idle.code, idle.err.split('\n')[0]]).toEqual([
      2,
      'error: --build is for one seat, and kept/latest/room.take.jsonl is of a room: add --seat',
    ]);
    const single = await pluckwork('rerun', 'kept/latest/north.take.jsonl', '--seat', 'south');
    expect([single.code, single.err]).toEqual([
      1,
      'error: kept/latest/north.take.jsonl: the take is of one seat only (north); leave --seat out.\n',
    ]);
  });

  it('names a line of it that is wrong, and goes on', async () => {
    const lines = text('kept/latest/room.take.jsonl').split('\n');
    lines.splice(200, 0, lines[199]!.replace(/\]$/, ',39,5,3,5]'));
    folder.write('bad.jsonl', lines.join('\n'));
    const { code, out, err } = await pluckwork('rerun', 'bad.jsonl');
    expect(code).toBe(0);
    expect(err).toMatch(
      /^warning: inputs \d+ and \d+ are not of one seat: .*\(bad\.jsonl:201\)\.\n$/,
    );
    expect(out).toBe(text('kept/latest/notes.jsonl'));
  });

  it('is played again by a seat that says which of its seats it plays', async () => {
    const seat = (from: string): string =>
      `seats:\n  - { name: copy, instrument: bass-4x4, from: ${from}, rules: instant }\n`;
    folder.write('rooms/copy.yaml', seat('{ take: kept/latest/room.take.jsonl, seat: south }'));
    const { code, err } = await pluckwork('play', 'copy', '--record', 'copy', '--quiet');
    expect(code, err).toBe(0);
    const own = ons((await pluckwork('rerun', 'kept/latest/south.take.jsonl')).out);
    expect(ons(text('copy/latest/notes.jsonl')).map(({ note }) => note)).toEqual(
      own.map(({ note }) => note),
    );
    folder.write('rooms/which.yaml', seat('{ take: kept/latest/room.take.jsonl }'));
    const which = await pluckwork('play', 'which');
    expect([which.code, which.err]).toEqual([
      1,
      expect.stringContaining('choose a seat with "seat:" beside "take:": north, south') as string,
    ]);
  }, 30_000);
});
