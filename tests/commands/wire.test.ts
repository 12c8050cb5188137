import { EventEmitter } from 'node:events';
import { existsSync, readFileSync } from 'node:fs';
import { join } from 'node:path';
import { afterAll, describe, expect, it } from 'vitest';
import { keysOf, openKeys } from '../../src/commands/wire/keys.js';
import { formatBuild, parseBuild } from '../../src/instrument/build.js';
import { printedOrder } from '../../src/instrument/instrument-pads.js';
import { formatHeader, formatTakeLine } from '../../src/takes/take.js';
import type { Scan } from '../../src/wire/scan.js';
import { freePort } from '../engines/csound-process.js';
import { inTurn, wireUnit, type Press, type WireUnit } from '../wiring/unit.js';
import { BASS } from '../support/bass.js';
import { board, closeSockets } from './osc-hands.js';
import { endPrograms, run, start, workFolder } from './program.js';

const folder = workFolder();
afterAll(() => {
  endPrograms();
  closeSockets();
  folder.remove();
});

const ORDER = printedOrder(BASS);

function writeTake(name: string, scans: readonly Scan[], header: object = {}): void {
  const first = formatHeader({
    take: 1,
    inputs: 24,
    full: 16_383,
    instrument: 'bass-4x4',
    ...header,
  });
  folder.write(name, `${[first, ...scans.map(formatTakeLine)].join('\n')}\n`);
}

function buildOf(name: string): ReturnType<typeof parseBuild> {
  const path = join(folder.path, 'builds', `${name}.json`);
  return parseBuild(readFileSync(path, 'utf8'), path);
}

const unitOf = (seed: number): WireUnit =>
  wireUnit({ pads: 20, seed, inputs: 24, span: [260, 900], sigma: [3, 7], hum: [2, 8] });
const seconds = (presses: readonly Press[]): number =>
  1 + Math.max(...presses.map(({ until }) => until)) / 1_000;

describe('wire, with a board that sends OSC', () => {
  it('learns 20 pads touched 0.4 s apart, with mistakes, in under a minute', async () => {
    const port = await freePort();
    folder.write(
      'rooms/hall.yaml',
      `seats: [{ name: north, instrument: bass-4x4, from: { osc: ${String(port)} } }]
to: [{ builtin: {} }]
`,
    );
    const unit = unitOf(31);
    // After seven pads: the last one touched again; then a wrong one, taken back by holding it.
    const before = inTurn(ORDER.slice(0, 7), 1_500);
    const again = inTurn([ORDER[6]!, ORDER[15]!], 4_300);
    const hold = { pad: ORDER[15]!, at: 5_200, until: 7_400 };
    const after = inTurn(ORDER.slice(7), 7_800);
    const presses = [...before, ...again, hold, ...after];
    const begun = performance.now();
    const program = start(['wire', 'hall'], folder.path);
    await program.saw(/Let go of all pads of north/);
    await (await board(port)).play('north', unit.scans(presses, seconds(presses) + 3));
    const { code, out, err } = await program.ended;

    expect(err).not.toContain('No readings');
    expect({ code, err: /Taken back: .*/.exec(err)?.[0] }).toEqual({
      code: 0,
      err: `Taken back: D2 fret 3 (input ${String(unit.inputOf(ORDER[15]!))}). Touch: D2 fret 3 (8 of 20).`,
    });
    expect(performance.now() - begun).toBeLessThan(60_000);
    expect(err).toContain('Touch: G2 fret 1 (1 of 20)');
    const sixth = String(unit.inputOf(ORDER[6]!));
    expect(err).toContain(`That is input ${sixth}, already D2 fret 2`);
    expect(err).toContain('Write "build: north" into seat north');
    const { wiring, pads } = buildOf('north');
    expect(wiring).toEqual(unit.wiring);
    // The file is exactly what the program writes, and it was calibrated from these touches.
    const path = join(folder.path, 'builds/north.json');
    expect(readFileSync(path, 'utf8')).toBe(formatBuild({ wiring, pads }));
    pads.forEach((one, pad) => {
      expect(Math.abs(one!.span / (0.9 * unit.spanOf(pad)) - 1)).toBeLessThan(0.2);
    });
    for (const [i, pad] of ORDER.entries()) {
      expect(out.split('\n')[i]).toMatch(
        new RegExp(`pad ${String(pad)} +input ${String(unit.inputOf(pad))}$`),
      );
    }
    expect(out).toMatch(/without a pad: input \d+, \d+, \d+, \d+\n$/);
  }, 60_000);

  it('writes nothing when it is stopped before every pad had its turn', async () => {
    const port = await freePort();
    folder.write(
      'rooms/yard.yaml',
      `seats: [{ name: south, instrument: bass-4x4, from: { osc: ${String(port)} } }]
to: [{ builtin: {} }]
`,
    );
    const program = start(['wire', 'yard'], folder.path);
    await program.saw(/Let go/);
    const presses = inTurn(ORDER.slice(0, 2), 1_000);
    await (await board(port)).play('south', unitOf(5).scans(presses, 2));
    await program.saw(/Touch: G2 fret 3/);
    program.signal('SIGINT');
    const { code, err } = await program.ended;
    expect(code).toBe(1);
    expect(err).toContain('stopped after 2 of 20 pads, so nothing was written');
    expect(existsSync(join(folder.path, 'builds/south.json'))).toBe(false);
  }, 30_000);
});

describe('wire, from a take', () => {
  it('takes touches in the printed order; one of two seconds takes back', async () => {
    const unit = unitOf(8);
    const presses = [
      ...inTurn([ORDER[0]!, ORDER[5]!], 1_000),
      { pad: ORDER[5]!, at: 2_000, until: 4_000 },
      ...inTurn(ORDER.slice(1), 4_400),
    ];
    writeTake('first.take.jsonl', unit.scans(presses, seconds(presses)));
    const ended = await run(
      ['wire', '--take', 'first.take.jsonl', '--build', 'first'],
      folder.path,
    );
    expect(ended.code).toBe(0);
    expect(ended.err).toMatch(/Taken back: G2 fret 2/);
    expect(buildOf('first').wiring).toEqual(unit.wiring);
  });

  it('is no different for a take of `record`, whose build does not matter', async () => {
    const unit = unitOf(9);
    const presses = inTurn(ORDER, 1_000);
    const header = { build: 'lost-long-ago', seat: 'north', rules: 'plain' };
    writeTake('bound.take.jsonl', unit.scans(presses, seconds(presses)), header);
    const args = ['wire', '--take', 'bound.take.jsonl', '--build', 'bound'];
    expect((await run(args, folder.path)).code).toBe(0);
    expect(buildOf('bound').wiring).toEqual(unit.wiring);
  });

  it('keeps an old calibration of the same wiring, and makes a new one of another', async () => {
    const unit = unitOf(10);
    const presses = inTurn(ORDER, 1_000);
    writeTake('kept.take.jsonl', unit.scans(presses, seconds(presses)));
    const pads = ORDER.map((_, n) => ({ rest: 5, span: 100 + n, noise: 1, coupling: [] }));
    const args = ['wire', '--take', 'kept.take.jsonl', '--build', 'kept'];
    folder.write('builds/kept.json', formatBuild({ wiring: unit.wiring, pads }));
    const same = await run(args, folder.path);
    expect(same.err).toContain('the old calibration was kept');
    expect(buildOf('kept')).toEqual({ wiring: unit.wiring, pads });

    const wiring = [...unit.wiring].reverse();
    folder.write('builds/kept.json', formatBuild({ wiring, pads }));
    const other = await run(args, folder.path);
    expect(other.err).toContain('calibrated from these touches');
    expect(buildOf('kept').wiring).toEqual(unit.wiring);
    expect(buildOf('kept').pads[3]!.rest).toBeGreaterThan(1_000);

    folder.write('builds/kept.json', '{');
    const broken = await run(args, folder.path);
    expect(broken.code).toBe(1);
    expect(broken.err).toContain('fix it or move it away first');
    expect(readFileSync(join(folder.path, 'builds/kept.json'), 'utf8')).toBe('{');
  });

  it('leaves dead pads without an input where they are named', async () => {
    const unit = unitOf(11);
    const dead = [ORDER[2]!, ORDER[13]!];
    const presses = inTurn(
      ORDER.filter((pad) => !dead.includes(pad)),
      1_000,
    );
    writeTake('dead.take.jsonl', unit.scans(presses, seconds(presses)));
    const args = ['wire', '--take', 'dead.take.jsonl', '--build', 'dead'];
    const without = await run(args, folder.path);
    expect(without.code).toBe(1);
    expect(without.err).toContain('18 of 20 pads, so nothing was written');
    const named = await run([...args, '--skip', `g2 fret 3, ${String(dead[1])}`], folder.path);
    expect(named.err).toContain('18 of 20 pads have their input');
    expect(named.out).toMatch(/G2 fret 3 +pad 8 +no input/);
    expect(buildOf('dead').wiring).toEqual(
      unit.wiring.map((pad) => (pad !== null && dead.includes(pad) ? null : pad)),
    );
    const misspelt = await run([...args, '--skip', 'G2 fert 3'], folder.path);
    expect(misspelt).toMatchObject({ code: 2, out: '' });
    expect(misspelt.err).toContain('did you mean "G2 fret 3"?');
  });

  it('refuses what it cannot work on', async () => {
    writeTake('empty.take.jsonl', []);
    const said = async (...args: string[]): Promise<[number | null, string]> => {
      const { code, err } = await run(['wire', ...args], folder.path);
      return [code, err];
    };
    expect(await said()).toEqual([2, expect.stringContaining('the room or --take is missing')]);
    expect(await said('hall', '--take', 'empty.take.jsonl')).toEqual([
      ...[2, expect.stringContaining('not both')],
    ]);
    expect(await said('--take', 'empty.take.jsonl')).toEqual([
      ...[2, expect.stringContaining('--build is missing')],
    ]);
    expect(await said('--take', 'empty.take.jsonl', '--build', 'no')).toEqual([
      ...[1, expect.stringContaining('no readings came: there are none in the take')],
    ]);
    expect(existsSync(join(folder.path, 'builds/no.json'))).toBe(false);
  });
});

describe('the keys', () => {
  it('are those that terminals send for them (Backspace as 7f or 08, Delete as CSI 3 ~; xterm)', () => {
    expect(keysOf('su\x7f\b\x1b[3~Qq\x03')).toEqual([
      ...['skip', 'back', 'back', 'back', 'back', 'quit', 'quit', 'quit'],
    ]);
  });

  it('are not found inside of other keys', () => {
    // Arrow up, F5, F1, Alt+x, and letters that mean nothing.
    expect(keysOf('\x1b[A\x1b[15~\x1bOSxyz\r\n')).toEqual([]);
  });

  it('are heard one by one without Enter, and the terminal is given back', () => {
    const terminal = Object.assign(new EventEmitter(), {
      raw: [] as boolean[],
      setRawMode: (on: boolean) => terminal.raw.push(on),
      resume: () => undefined,
      pause: () => undefined,
    });
    const heard: string[] = [];
    const close = openKeys(terminal, (key) => heard.push(key));
    terminal.emit('data', Buffer.from('s'));
    terminal.emit('data', 'u');
    close();
    terminal.emit('data', 'q');
    expect(heard).toEqual(['skip', 'back']);
    expect(terminal.raw).toEqual([true, false]);
  });
});
