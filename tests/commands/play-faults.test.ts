import { createSocket } from 'node:dgram';
import { once } from 'node:events';
import { afterAll, afterEach, describe, expect, it } from 'vitest';
import { freePort } from '../engines/csound-process.js';
import { board, closeSockets, receiver, type Heard } from './osc-hands.js';
import { A1, E1, G2, plucked, ringing, UNIT } from './performance.js';
import { endPrograms, start, workFolder, type Program } from './program.js';
import { readingsOf } from '../../src/demo/gestures.js';

const folder = workFolder();
afterEach(() => {
  endPrograms();
  closeSockets();
});
afterAll(folder.remove);

const seat = (name: string, port: number): string =>
  `  - { name: ${name}, instrument: bass-4x4, from: { osc: ${String(port)} }, steady: false }\n`;
const osc = (port: number): string => `  - osc: { host: 127.0.0.1, port: ${String(port)} }\n`;

function play(seats: string, to: string): Program {
  folder.write('rooms/hall.yaml', `seats:\n${seats}to:\n${to}`);
  return start(['play', 'hall'], folder.path);
}

const voices = (heard: readonly Heard[], address: string): unknown[] =>
  heard.filter((message) => message.address === address).map(({ args }) => args[0]);

/** Stops a room and checks that all that began has ended. */
async function stop(program: Program, heard: readonly Heard[]): Promise<void> {
  program.signal('SIGTERM');
  const { code, err } = await program.ended;
  expect(code, err).toBe(0);
  expect(voices(heard, '/note/off').sort()).toEqual(voices(heard, '/note/on').sort());
  expect(heard.at(-1)!.address).toBe('/silence');
}

describe('engines that are not there', () => {
  it('cost the others nothing: no receiver, no MIDI, no sound card', async () => {
    const synth = await receiver();
    const nobody = await freePort();
    const port = await freePort();
    // Where this computer has MIDI or a sound card, they simply play along.
    const midi = '  - midi: { port: no such synth }\n  - builtin: {}\n';
    const program = play(seat('north', port), osc(nobody) + midi + osc(synth.port));
    await program.saw(/Listening for boards/);
    const said = program.saw(
      new RegExp(
        `warning: Nothing listens at 127\\.0\\.0\\.1, port ${String(nobody)} .*Start the receiver`,
      ),
    );
    await (await board(port)).play('north', ringing());
    await synth.heardThat((all) => voices(all, '/note/on').length === 4);
    await said;
    expect(program.err).toMatch(
      /warning: (this computer has no MIDI system|no MIDI output port has)/,
    );

    // One that starts later gets what is played from then on, and is told of.
    const late = createSocket('udp4').bind(nobody, '127.0.0.1');
    await once(late, 'listening');
    try {
      await program.saw(/The receiver at .* listens now/);
      const first = once(late, 'message');
      await (await board(port)).play('north', ringing([G2]));
      await first;
    } finally {
      late.close();
    }
    await synth.heardThat((all) => voices(all, '/note/on').length === 5);
    await stop(program, synth.heard);
  });

  it('are told of once, however long they stay away', async () => {
    const nobody = await freePort();
    const port = await freePort();
    const program = play(seat('north', port), osc(nobody));
    await program.saw(/Nothing listens at/);
    // Long enough for a second look, and six seconds of notes into nothing.
    const notes = [0, 1, 2, 3, 4, 5].flatMap((n) => plucked(E1, 0, 500 + 900 * n, 0));
    await (await board(port)).play('north', readingsOf(notes, UNIT, 6_000_000, 1));
    await program.saw(/(E1 [^]*){6}/);
    program.signal('SIGINT');
    const { code, err } = await program.ended;
    expect(code).toBe(0);
    expect(err.match(/Nothing listens/g)).toHaveLength(1);
  });
});

describe('boards that misbehave', () => {
  it('a port in use is named with its holder, the other seats play, and it is taken up when free', async () => {
    const synth = await receiver();
    const taken = await freePort();
    const port = await freePort();
    const holder = createSocket('udp4').bind(taken);
    await once(holder, 'listening');
    const program = play(seat('north', taken) + seat('south', port), osc(synth.port));
    try {
      const who = `node \\(process ${String(process.pid)}\\)`;
      await program.saw(
        new RegExp(
          `error: UDP port ${String(taken)} is in use by (${who}|\\S+ \\(process \\d+\\))`,
        ),
      );
      await (await board(port)).play('south', ringing());
      await synth.heardThat((all) => voices(all, '/note/on').length === 4);
    } finally {
      holder.close();
    }
    await program.saw(new RegExp(`Listening for boards again .UDP port ${String(taken)}`));
    await (await board(taken)).play('north', ringing());
    await synth.heardThat((all) => voices(all, '/note/on').length === 8);
    expect(program.err.match(/is in use/g)).toHaveLength(1);
    await stop(program, synth.heard);
  });

  it('malformed packets and strangers in the flood are told of, and change no note', async () => {
    const synth = await receiver();
    const port = await freePort();
    const program = play(seat('north', port), osc(synth.port));
    await program.saw(/Listening for boards/);
    const [good, bad] = [await board(port), await board(port)];
    const wrong = [
      () => bad.raw(new Uint8Array(0)),
      () => bad.raw(new Uint8Array([1, 2, 3])),
      () => bad.raw(Uint8Array.from({ length: 512 }, (_, i) => (i * 37) % 256)),
      () => bad.raw(new TextEncoder().encode('#bundle\0')),
      () => bad.send('/pads', 'north'),
      () => bad.send('/pad', 'north', 19, 99_999),
      () => bad.send('/pad', 'north', -1, 900),
      () => bad.send('/pad', 'north', 500, 900),
      () => bad.send('/nothing', 'north', 1, 2),
      () => bad.send('/pads', 'nroth', 0, ...UNIT.rest.map(() => 16_000)),
      () => bad.send('/pads', 'a\u001b[31m stranger', 0, 1),
    ];
    let n = 0;
    const flood = setInterval(() => {
      for (let i = 0; i < 4; i++) wrong[n++ % wrong.length]!();
    }, 2);
    try {
      await good.play('north', ringing());
    } finally {
      clearInterval(flood);
    }
    await synth.heardThat((all) => voices(all, '/note/on').length === 4);
    await program.saw(/calls itself "nroth".*Did you mean "north"\?/);
    await program.saw(/message(s are| is) no pad reading/);
    expect(n).toBeGreaterThan(500);
    const notes = synth.heard.filter(({ address }) => address === '/note/on');
    expect(notes.map(({ args }) => args[1]).sort()).toEqual([28, 33, 38, 43]);
    await stop(program, synth.heard);
    const warnings = program.err.split('\n').filter((line) => line.startsWith('warning: '));
    expect(warnings.length).toBeLessThan(8);
    // Nothing from the network may steer the terminal.
    expect(program.err).not.toMatch(/\x1b/);
  });

  it('two boards on one port play two seats, and the take of one tells nothing of the other', async () => {
    const synth = await receiver();
    const port = await freePort();
    const program = play(seat('north', port) + seat('south', port), osc(synth.port));
    await program.saw(/Listening for boards/);
    const [north, south] = [await board(port), await board(port)];
    await Promise.all([north.play('north', ringing([E1])), south.play('south', ringing([A1, G2]))]);
    await synth.heardThat((all) => voices(all, '/note/on').length === 3);
    const printed = program.out.trimEnd().split('\n');
    const said = printed.map((line) => line.trim().split(/\s+/).slice(2, 4).join(' '));
    expect(said.sort()).toEqual(['north E1', 'south A1', 'south G2']);
    await stop(program, synth.heard);
  });
});
