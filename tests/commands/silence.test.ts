import { readFileSync } from 'node:fs';
import { join } from 'node:path';
import { afterEach, describe, expect, it, vi } from 'vitest';
import { readingsOf, type Gesture } from '../../src/demo/gestures.js';
import { SECOND } from '../../src/time/micros.js';
import type { Scan } from '../../src/wire/scan.js';
import { freePort } from '../engines/csound-process.js';
import { board, closeSockets, receiver, type Heard, type Receiver } from './osc-hands.js';
import { A1, D2, plucked, UNIT } from './performance.js';
import { endPrograms, run, start, workFolder, type Program } from './program.js';

const folder = workFolder();
afterEach(() => {
  endPrograms();
  closeSockets();
  folder.remove();
});

interface Hall {
  readonly synth: Receiver;
  readonly port: number;
  readonly program: Program;
}

async function hall(seats: (port: number) => string, more: readonly string[] = []): Promise<Hall> {
  const synth = await receiver();
  const port = await freePort();
  const to = `to:\n  - osc: { host: 127.0.0.1, port: ${String(synth.port)} }\n`;
  folder.write('rooms/hall.yaml', `seats:\n${seats(port)}${to}`);
  const program = start(['play', 'hall', ...more], folder.path);
  await program.saw(/Playing/);
  return { synth, port, program };
}

const north = (port: number): string =>
  `  - { name: north, instrument: bass-4x4, from: { osc: ${String(port)} } }\n`;

const scansOf = (gestures: readonly Gesture[], ms: number, seed = 5): Generator<Scan, void> =>
  readingsOf(gestures, UNIT, ms * 1_000, seed);

const kind = (of: string) => (heard: readonly Heard[]) =>
  heard.filter(({ address }) => address === of);
const ons = kind('/note/on');
const offs = kind('/note/off');

/** Every line of what was told that fits. */
const lines = ({ err }: Program, pattern: RegExp): string[] =>
  err.split('\n').filter((line) => pattern.test(line));

vi.setConfig({ testTimeout: 180_000 });

describe('a board that stops sending while a fret is held', () => {
  it('has its note ended within two seconds, is told once, and plays again when it is back', async () => {
    const { synth, port, program } = await hall(north, ['--record', 'kept']);
    const unit = await board(port);
    await unit.play('north', scansOf(plucked(A1, 2, 3_000, 60_000), 4_400));
    const stopped = performance.now();
    await synth.heardThat((heard) => offs(heard).length === 1);
    expect(ons(synth.heard).map(({ args }) => args[1])).toEqual([35]);
    expect(offs(synth.heard)[0]!.ms - stopped).toBeLessThan(2_500);
    await program.saw(/Nothing comes from its board any more: what was still sounding was ended/);

    // The finger still lies on the fret: no note by itself. Then it lifts, and another note is played.
    const held = { ...plucked(A1, 2, 0, 0)[0]!, at: 0, until: SECOND };
    await unit.play('north', scansOf([held, ...plucked(D2, 3, 2_000, 2_600)], 2_400, 6));
    await synth.heardThat((heard) => ons(heard).length === 2);
    await program.saw(/Its board sends again/);
    program.signal('SIGINT');
    await program.ended;
    expect(ons(synth.heard).map(({ args }) => args[1])).toEqual([35, 41]);
    expect(lines(program, /Nothing comes/).length).toBeGreaterThanOrEqual(1);

    // The take holds why the note ended: run again, it ends at the same time.
    const take = readFileSync(join(folder.path, 'kept/latest/north.take.jsonl'), 'utf8');
    expect(take).toMatch(/"event":"quiet"/);
    const again = await run(['rerun', 'kept/latest/north.take.jsonl'], folder.path);
    expect(again.out).toBe(readFileSync(join(folder.path, 'kept/latest/notes.jsonl'), 'utf8'));
  });

  it('is left alone where the room says so, and found after the time that the room says', async () => {
    const two = (port: number): string => {
      const south = north(port).replace('north', 'south').replace(' }\n', ', steady: false }\n');
      return `${north(port).replace(' }\n', ', steady: 1s }\n')}${south}`;
    };
    const { synth, port, program } = await hall(two);
    const unit = await board(port);
    const other = await board(port);
    await Promise.all([
      other.play('south', scansOf(plucked(D2, 2, 1_000, 60_000), 2_300)),
      unit.play('north', scansOf(plucked(A1, 2, 1_000, 60_000), 2_400)),
    ]);
    expect(await program.saw(/Nothing comes .*/)).toContain('(seat north)');
    expect(ons(synth.heard)).toHaveLength(2);
    expect(offs(synth.heard)).toHaveLength(1);
    program.signal('SIGINT');
    await program.ended;
  });
});

describe('a program that was stopped for a while', () => {
  it('ends what sounded, plays nothing of what had piled up, and plays on', async () => {
    const { synth, port, program } = await hall(north);
    const unit = await board(port);
    await unit.play('north', scansOf(plucked(A1, 2, 1_200, 60_000), 1_600));
    await synth.heardThat((heard) => ons(heard).length === 1);
    program.signal('SIGSTOP');
    // The held fret is let go meanwhile, and another string is plucked again and again.
    const plucks = [0, 1, 2, 3, 4, 5].flatMap((n) => plucked(D2, 0, 500 + 500 * n, 0));
    await unit.play('north', scansOf(plucks, 3_600, 6));
    program.signal('SIGCONT');
    await Promise.all([
      unit.play('north', scansOf(plucked(A1, 3, 2_000, 2_500), 2_600, 7)),
      program.saw(/This computer slept or was too busy, or pluckwork was stopped, for \d+ s/),
    ]);
    await synth.heardThat((heard) => ons(heard).length >= 2);
    program.signal('SIGINT');
    await program.ended;
    const all = ons(synth.heard);
    expect(all.map(({ args }) => args[1])).toEqual([35, 36]);
    expect(lines(program, /slept/)).toHaveLength(1);
    expect(offs(synth.heard).map(({ args }) => args[0])).toEqual(all.map(({ args }) => args[0]));
  });
});

describe('two boards that send under one name', () => {
  it.each([
    ['at two addresses', '127.0.0.2', /127\.0\.0\.1 plays, the one at 127\.0\.0\.2 is not heard/],
    ['at one address', '127.0.0.1', /port \d+ plays, the one at 127\.0\.0\.1, port \d+ is not/],
  ])('%s: the first one keeps the seat until it falls silent', async (_how, address, words) => {
    const { synth, port, program } = await hall(north);
    const first = await board(port);
    const second = await board(port, address);
    // The second unit rests elsewhere, so that its readings among the first one's would be touches.
    const other = { ...UNIT, rest: UNIT.rest.map((rest) => rest + 900) };
    const begun = first.play('north', scansOf(plucked(A1, 2, 2_500, 2_900), 4_000));
    await program.saw(/north is ready/);
    const notes = Array.from({ length: 12 }, (_, n) =>
      plucked(D2, 3, 4_000 + 2_000 * n, 4_200 + 2_000 * n),
    );
    const later = second.play('north', readingsOf(notes.flat(), other, 30 * SECOND, 7));
    await begun;
    expect(ons(synth.heard).map(({ args }) => args[1])).toEqual([35]);
    expect(await program.saw(/Two boards send as "north".*/)).toMatch(words);
    expect(lines(program, /flashed/)).toHaveLength(1);
    await synth.heardThat((heard) => ons(heard).length >= 2);
    second.stop();
    await later;
    program.signal('SIGINT');
    await program.ended;
    expect(ons(synth.heard).map(({ args }) => args[1])).toEqual([35, 41]);
    expect(lines(program, /Two boards/)).toHaveLength(1);
  });
});

describe('a room to which nothing comes', () => {
  it('says once which seats have heard nothing and where they listen, and when they do', async () => {
    const three = (port: number): string =>
      `${north(port)}${north(port).replace('north', 'south')}` +
      '  - { name: west, instrument: bass-4x4, from: { midi: paper, as: frames } }\n';
    const { port, program } = await hall(three);
    const said = await program.saw(/No readings have come yet.*/);
    expect(said).toContain('north, south, west');
    expect(said).toContain(`north and south listen on UDP port ${String(port)} of this computer`);
    expect(said).toContain('west listens on the MIDI port named like "paper"');
    const unit = await board(port);
    await unit.play('south', scansOf([], 1_000));
    await program.saw(/Readings come now \(seat south\)/);
    await program.saw(/south is ready: play/);
    program.signal('SIGINT');
    await program.ended;
    expect(lines(program, /No readings have come/)).toHaveLength(1);
    expect(lines(program, /Readings come now/)).toHaveLength(1);
  });

  it.each([
    [
      16,
      /sends 16 inputs \(0 to 15\), and .* has 20 pads: G2 pluck, D2 pluck, A1 pluck, E1 pluck are without an input/,
    ],
    [
      30,
      /sends 30 inputs \(0 to 29\), and .* has 20 pads: the board's inputs 20 to 29 are ignored/,
    ],
  ])('says so when a board sends %i inputs for 20 pads', async (count, words) => {
    const { port, program } = await hall(north);
    const unit = await board(port);
    const raws = Array.from({ length: count }, (_, i) => 1_000 + i);
    const many = Array.from({ length: 400 }, (_, n) => n * 10_000);
    const playing = unit.play(
      'north',
      many.map((t) => ({ type: 'scan', t, inputs: [0], raws })),
    );
    expect(await program.saw(/Its board sends.*/)).toMatch(words);
    unit.stop();
    await playing;
    program.signal('SIGINT');
    await program.ended;
    expect(lines(program, /Its board sends \d/)).toHaveLength(1);
  });
});
