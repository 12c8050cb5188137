import { existsSync, readFileSync } from 'node:fs';
import { join, resolve } from 'node:path';
import { afterAll, afterEach, describe, expect, it } from 'vitest';
import { formatHeader, formatTakeLine } from '../../src/takes/take.js';
import type { Scan } from '../../src/wire/scan.js';
import { freePort } from '../engines/csound-process.js';
import { calibration, DEAD, LOUD, SPANS, STUCK, UNHEARD, WEAK } from './calibrating.js';
import { board, closeSockets, receiver } from './osc-hands.js';
import { A1, E1, plucked, UNIT } from './performance.js';
import { endPrograms, run, start, workFolder } from './program.js';
import { readingsOf } from '../../src/demo/gestures.js';

interface WrittenPad {
  readonly rest: number;
  readonly span: number;
  readonly noise: number;
  readonly coupling?: readonly { from: number; share: number }[];
}

const folder = workFolder();
const pluckwork = (...args: string[]) => run(args, folder.path);
afterEach(() => {
  endPrograms();
  closeSockets();
});
afterAll(folder.remove);

const header = formatHeader({ take: 1, inputs: 20, full: 16_383, instrument: 'bass-4x4' });
const take = (scans: Iterable<Scan>): string =>
  [header, ...[...scans].map(formatTakeLine), ''].join('\n');

function writtenPads(build: string): (WrittenPad | null)[] {
  const path = join(folder.path, 'builds', `${build}.json`);
  return (JSON.parse(readFileSync(path, 'utf8')) as { pads: (WrittenPad | null)[] }).pads;
}

/** Rests within a quarter of the noise, which is 16 counts peak to peak; spans within the noise. */
function expectTrue(pads: readonly (WrittenPad | null)[], spans: readonly number[]): void {
  pads.forEach((pad, i) => {
    if (!pad) return;
    expect(Math.abs(pad.rest - UNIT.rest[i]!)).toBeLessThan(UNIT.noise / 4);
    expect(Math.abs(pad.span - spans[i]!)).toBeLessThan(UNIT.noise);
    expect(Math.abs(pad.noise - UNIT.noise)).toBeLessThan(2);
  });
}

const notesOf = (text: string): { type: string; note: number; velocity: number }[] =>
  text
    .trimEnd()
    .split('\n')
    .map((line) => JSON.parse(line) as { type: string; note: number; velocity: number })
    .filter(({ type }) => type === 'on');

describe('what is written over a build', () => {
  const calibrated = () => pluckwork('calibrate', '--take', 'good.jsonl', '--build', 'kept');

  it('leaves the earlier one, and says where it is and how to go back', async () => {
    folder.write('good.jsonl', take(calibration(false)));
    const old = '{ "wiring": [1, 0], "pads": [null, null] }\n';
    folder.write('builds/kept.json', old);
    const { code, err } = await calibrated();
    expect(code, err).toBe(0);
    const [, kept = ''] =
      /What was there before is kept as (builds\/earlier\/kept-\d{4}-\d\d-\d\dT\d{4}\.json)\. To go back to it, copy it over builds\/kept\.json\./.exec(
        err,
      ) ?? [];
    expect(readFileSync(join(folder.path, kept), 'utf8')).toBe(old);
    expect(writtenPads('kept')).toHaveLength(20);
    expect((await calibrated()).err).not.toContain('before');
  });

  it('is refused before the first touch where the folder cannot be written', async () => {
    const other = workFolder();
    try {
      const port = String(await freePort());
      other.write(
        'rooms/hall.yaml',
        `seats: [{ name: north, instrument: bass-4x4, from: { osc: ${port} } }]\nto: [{ builtin: {} }]\n`,
      );
      other.write('builds', 'a file');
      for (const command of ['calibrate', 'wire']) {
        const { code, err } = await run([command, 'hall'], other.path);
        expect(code).toBe(1);
        expect(err).toMatch(
          /^error: builds\/north\.json: found that it cannot be written \(a file/,
        );
        expect(err).not.toContain('Let go');
      }
    } finally {
      other.remove();
    }
  });
});

describe('calibrate --take', () => {
  it('sees a touch within which the network held readings back and then sent them at once', async () => {
    const late = resolve('tests/takes/unit/scans-late-within-a-touch.take.jsonl');
    const { err } = await pluckwork('calibrate', '--take', late, '--build', 'late');
    expect(err).not.toContain('no touch was seen');
    const touched = writtenPads('late').flatMap((pad, i) => (pad ? [[i, pad.rest, pad.span]] : []));
    // What the take itself says: the middle of a pad's readings, and of those within a touch, by hand.
    for (const [i, [pad, rest, touch]] of [
      [3, 1944, 2543],
      [7, 1907, 2506],
      [14, 1096, 1696],
      [18, 2439, 3039],
    ].entries()) {
      expect(touched[i]![0]).toBe(pad);
      expect(Math.abs(touched[i]![1]! - rest!)).toBeLessThan(4);
      expect(Math.abs(touched[i]![1]! + touched[i]![2]! - touch!)).toBeLessThan(8);
    }
  });

  it('has a pad that was not touched this time play as before', async () => {
    folder.write('whole.jsonl', take(calibration(false)));
    folder.write('faulty.jsonl', take(calibration(true)));
    await pluckwork('calibrate', '--take', 'whole.jsonl', '--build', 'twice');
    const before = writtenPads('twice');
    const { err } = await pluckwork('calibrate', '--take', 'faulty.jsonl', '--build', 'twice');
    expect(err).toMatch(
      /Not calibrated now, plays as before: no touch was seen on it \(D2 fret 2, pad 5\)/,
    );
    expect(err).toContain('16 of 20 pads are fit, 2 stay as they were; kept as builds/twice.json');
    const pads = writtenPads('twice');
    expect([pads[DEAD], pads[UNHEARD]]).toEqual([before[DEAD], before[UNHEARD]]);
    // A stuck pad's reading would be a touch without an end by its old values.
    expect(pads[STUCK]).toBeNull();
  });

  it('finds what the unit is, and names each pad that is not fit with its reason', async () => {
    folder.write('faulty.jsonl', take(calibration(true)));
    const { code, out, err } = await pluckwork(
      'calibrate',
      '--take',
      'faulty.jsonl',
      '--build',
      'west',
    );
    expect([code, out]).toEqual([0, '']);
    const lines = err.trimEnd().split('\n');
    expect(lines).toHaveLength(5);
    const line = (pad: number): string =>
      lines.find((one) => one.includes(`, pad ${String(pad)})`))!;
    expect(line(DEAD)).toMatch(
      /^warning: Not fit: no touch was seen on it \(D2 fret 2, pad 5\)\. Touch it/,
    );
    expect(line(WEAK)).toMatch(
      /^warning: Not fit: a touch is only 3\.\d times its noise; it takes 5 times \(A1 fret 3, pad 10\)\./,
    );
    expect(line(STUCK)).toMatch(
      /^warning: Not fit: it reads the same end value .*pad 13\)\. Look for a short/,
    );
    expect(line(UNHEARD)).toMatch(
      /^warning: Not fit: nothing arrives from it .*pad 15\)\. Check its wire/,
    );
    expect(lines.at(-1)).toBe(
      '16 of 20 pads are fit; kept as builds/west.json. A seat with "build: west" uses it.',
    );
    const pads = writtenPads('west');
    expect(pads.flatMap((pad, i) => (pad ? [] : [i]))).toEqual([DEAD, STUCK, UNHEARD]);
    expectTrue(pads, SPANS);
    expect(pads[LOUD.on]!.coupling).toEqual([
      { from: LOUD.from, share: expect.any(Number) as number },
    ]);
    expect(Math.abs(pads[LOUD.on]!.coupling![0]!.share - LOUD.share)).toBeLessThan(0.02);
  });

  it('lets a room play right from the first touch on, soft and loud', async () => {
    folder.write('whole.jsonl', take(calibration(false)));
    await pluckwork('calibrate', '--take', 'whole.jsonl', '--build', 'east');
    // At once, without the moment of rest that an unknown unit is given.
    const soft = plucked(E1, 0, 40, 0, 0.6);
    const loud = plucked(A1, 2, 400, 700, 1);
    folder.write('first.jsonl', take(readingsOf([...soft, ...loud], UNIT, 1_000_000, 2)));
    folder.write(
      'rooms/first.yaml',
      'seats:\n  - { name: a, instrument: bass-4x4, build: east, from: { take: first.jsonl } }\n',
    );
    const { code, err } = await pluckwork('play', 'first', '--record', 'kept');
    expect(code, err).toBe(0);
    const kept = readFileSync(join(folder.path, 'kept/latest/notes.jsonl'), 'utf8');
    const notes = notesOf(kept);
    expect(notes.map(({ note }) => note)).toEqual([28, 35]);
    expect(notes[0]!.velocity).toBeLessThan(notes[1]!.velocity);
    // The kept take carries the build with it.
    expect((await pluckwork('rerun', 'kept/latest/a.take.jsonl')).out).toBe(kept);
    // A build can also be named when a take is run again.
    const named = await pluckwork('rerun', 'first.jsonl', '--build', 'east');
    expect(notesOf(named.out).map(({ note }) => note)).toEqual([28, 35]);
  });

  it('says what is wrong where nothing can be learned, and writes nothing', async () => {
    const { rest } = UNIT;
    folder.write('quiet.jsonl', take(readingsOf([], { ...UNIT, rest }, 2_000_000, 1)));
    const { code, err } = await pluckwork('calibrate', '--take', 'quiet.jsonl', '--build', 'none');
    expect(code).toBe(1);
    expect(err).toMatch(
      /error: no pad could be calibrated, so nothing was written: touch each pad once/,
    );
    expect(existsSync(join(folder.path, 'builds/none.json'))).toBe(false);
    folder.write('nothing.jsonl', take([]));
    const nothing = await pluckwork('calibrate', '--take', 'nothing.jsonl', '--build', 'none');
    expect(nothing).toMatchObject({ code: 1, out: '' });
    // Not that every pad's wire is to be looked at.
    expect(nothing.err).toBe(
      'error: no readings came: there are none in the take, so record another one; nothing was written.\n',
    );
  });
});

describe('calibrate, live over OSC', () => {
  const hall = async (build = ''): Promise<number> => {
    const port = await freePort();
    const seat = `{ name: north, instrument: bass-4x4, from: { osc: ${String(port)} }${build} }`;
    folder.write('rooms/hall.yaml', `seats:\n  - ${seat}\n`);
    return port;
  };

  it('asks for touches, says what is left, ends by itself, and its build is played with', async () => {
    const port = await hall();
    const program = start(['calibrate', 'hall'], folder.path);
    await program.saw(/Let go of all pads of north/);
    await program.saw(/Listening for boards/);
    const hand = await board(port);
    await hand.play('north', calibration(false));
    const { code, err } = await program.ended;
    expect(code, err).toBe(0);
    expect(err).toMatch(/Now touch every pad once, firmly, one after the other/);
    expect(err).toMatch(/\d+ of 20 pads touched; still to touch: /);
    expect(err).toMatch(
      /All pads were touched\.\n20 of 20 pads are fit; kept as builds\/north\.json\./,
    );
    expectTrue(writtenPads('north'), UNIT.span);

    const playPort = await hall(', build: north');
    const synth = await receiver();
    const to = `to:\n  - osc: { host: 127.0.0.1, port: ${String(synth.port)} }\n`;
    folder.write(
      'rooms/hall.yaml',
      readFileSync(join(folder.path, 'rooms/hall.yaml'), 'utf8') + to,
    );
    const playing = start(['play', 'hall'], folder.path);
    await playing.saw(/Listening for boards/);
    await (
      await board(playPort)
    ).play('north', readingsOf(plucked(E1, 3, 100, 300), UNIT, 400_000, 1));
    await synth.heardThat((all) => all.length === 2);
    expect(synth.heard.map(({ address }) => address)).toEqual(['/note/on', '/note/off']);
    expect(synth.heard[0]!.args[1]).toBe(31);
    playing.signal('SIGINT');
    expect((await playing.ended).code).toBe(0);
  });

  it('keeps what was learned where a person stops early', async () => {
    const port = await hall();
    const program = start(['calibrate', 'hall', '--build', 'early'], folder.path);
    await program.saw(/Listening for boards/);
    const hand = await board(port);
    const playing = hand.play('north', calibration(false));
    await program.saw(/[3-9] of 20 pads touched/);
    program.signal('SIGINT');
    const { code, err } = await program.ended;
    await playing;
    expect(code, err).toBe(0);
    const fit = Number(/(\d+) of 20 pads are fit; kept as builds\/early\.json/.exec(err)![1]);
    expect(fit).toBeGreaterThan(2);
    // All others were not touched, but for one that may just have been under the finger.
    expect(err.match(/Not fit: /g)).toHaveLength(20 - fit);
    const untouched = err.match(/Not fit: no touch was seen on it/g)?.length ?? 0;
    expect(untouched).toBeGreaterThanOrEqual(19 - fit);
    // A pad whose touch was cut short counts as weak, and a weak one has its entry too.
    const known = writtenPads('early').filter((pad) => pad !== null);
    expect(known).toHaveLength(20 - untouched);
  });

  it('ends with 1 where no board sends, and with words for it', async () => {
    await hall();
    const calibrated = await pluckwork('calibrate', 'hall', '--for', '500ms');
    expect(calibrated.code).toBe(1);
    expect(calibrated.err).toMatch(
      /error: no readings came: check the board's cable and the seat's "from"/,
    );
  });
});
