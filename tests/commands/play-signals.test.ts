import { readFileSync } from 'node:fs';
import { afterAll, afterEach, describe, expect, it, vi } from 'vitest';
import { freePort } from '../engines/csound-process.js';
import { board, closeSockets, receiver, type Board, type Receiver } from './osc-hands.js';
import { E1, plucked, UNIT } from './performance.js';
import { readingsOf } from '../../src/demo/gestures.js';
import { SIGNALS } from '../../src/commands/stopping.js';
import { endPrograms, start, workFolder, type Program } from './program.js';

// Each starts the program several times, which takes seconds where the machine is busy.
vi.setConfig({ testTimeout: 180_000 });

const folder = workFolder();
afterEach(() => {
  endPrograms();
  closeSockets();
});
afterAll(folder.remove);

interface Sounding {
  readonly program: Program;
  readonly synth: Receiver;
  readonly hand: Board;
}

/** Starts a room, or starts it again, at a receiver. */
async function room(synth: Receiver): Promise<Sounding> {
  const port = await freePort();
  folder.write(
    'rooms/hall.yaml',
    `seats:
  - { name: north, instrument: bass-4x4, from: { osc: ${String(port)} } }
to:
  - osc: { host: 127.0.0.1, port: ${String(synth.port)} }
`,
  );
  const program = start(['play', 'hall', '--quiet'], folder.path);
  await program.saw(/Playing/);
  return { program, synth, hand: await board(port) };
}

/** An open string that rings for four seconds. */
async function pluck({ hand, synth }: Sounding): Promise<void> {
  const count = on(synth).length;
  const scans = readingsOf(plucked(E1, 0, 500, 0), UNIT, 700_000, 3);
  await hand.play('north', scans);
  await synth.heardThat(() => on(synth).length > count);
}

const on = ({ heard }: Receiver): unknown[] =>
  heard.flatMap(({ address, args }) => (address === '/note/on' ? [args[0]] : []));
const off = ({ heard }: Receiver): unknown[] =>
  heard.flatMap(({ address, args }) => (address === '/note/off' ? [args[0]] : []));

/** Its state as Linux has it (proc(5)): T is stopped, R and S are not. */
function stateOf(pid: number): string {
  const stat = readFileSync(`/proc/${String(pid)}/stat`, 'latin1');
  return stat.charAt(stat.lastIndexOf(')') + 2);
}

async function until(what: () => boolean): Promise<void> {
  while (!what()) await new Promise((done) => setTimeout(done, 20));
}

describe('in the middle of a note', () => {
  // INT, TERM and HUP are looked at more closely elsewhere; Linux has no BREAK.
  const signals = SIGNALS.filter(
    (name) => !['SIGINT', 'SIGTERM', 'SIGHUP', 'SIGBREAK'].includes(name),
  );
  it.each(signals)('%s ends it, then the program in good order', async (name) => {
    const sounding = await room(await receiver());
    await pluck(sounding);
    sounding.program.signal(name);
    const { code, signal, err } = await sounding.program.ended;
    expect([code, signal], err).toEqual([0, null]);
    const { synth } = sounding;
    await synth.heardThat((all) => all.at(-1)!.address === '/silence');
    expect(off(synth)).toEqual(on(synth));
    expect(on(synth)).toHaveLength(1);
  });

  it('or before, while the room is still being opened, a signal ends the program in good order', async () => {
    const port = await freePort();
    folder.write(
      'rooms/early.yaml',
      `seats:
  - { name: north, instrument: bass-4x4, from: { osc: ${String(port)} } }
to:
  - osc: { host: 127.0.0.1, port: ${String((await receiver()).port)} }
`,
    );
    for (const name of ['SIGTERM', 'SIGQUIT', 'SIGINT'] as const) {
      const program = start(['play', 'early', '--quiet'], folder.path);
      await program.saw(/Listening for boards/);
      program.signal(name);
      const { code, signal, err } = await program.ended;
      expect([code, signal], err).toEqual([0, null]);
    }
  });

  it('being suspended ends it, and the room plays on once it is continued', async () => {
    const sounding = await room(await receiver());
    const { program, synth, hand } = sounding;
    await pluck(sounding);
    program.signal('SIGTSTP');
    await until(() => stateOf(program.pid) === 'T');
    await synth.heardThat(() => off(synth).length === 1);
    expect(off(synth)).toEqual(on(synth));
    // What is sent meanwhile is kept by the system, and stale when the program goes on.
    await hand.play('north', readingsOf(plucked(E1, 0, 100, 0), UNIT, 300_000, 3));
    program.signal('SIGCONT');
    await until(() => stateOf(program.pid) !== 'T');
    await pluck(sounding);
    expect(on(synth)).toHaveLength(2);
    program.signal('SIGINT');
    expect((await program.ended).code).toBe(0);
    await synth.heardThat(() => off(synth).length === 2);
    expect(off(synth)).toEqual(on(synth));
  });

  it('SIGSTOP cannot be heard, but what it left on is ended as soon as the program is continued', async () => {
    const sounding = await room(await receiver());
    const { program, synth } = sounding;
    await pluck(sounding);
    program.signal('SIGSTOP');
    await until(() => stateOf(program.pid) === 'T');
    expect(off(synth)).toEqual([]);
    program.signal('SIGCONT');
    // Not only by the string's own end.
    await synth.heardThat((all) => all.some(({ address }) => address === '/silence'));
    expect(off(synth)).toEqual(on(synth));
    program.signal('SIGINT');
    await program.ended;
  });

  it('SIGKILL leaves it on, and the next start ends it before anything else', async () => {
    const synth = await receiver();
    const first = await room(synth);
    expect(synth.greeted).toHaveLength(1);
    await pluck(first);
    first.program.signal('SIGKILL');
    await first.program.ended;
    expect(off(synth)).toEqual([]);
    const before = synth.heard.length;
    const second = await room(synth);
    await synth.heardThat((all) => all.length > before);
    expect(synth.heard[before]!.address).toBe('/silence');
    second.program.signal('SIGINT');
    await second.program.ended;
  });
});
