import { afterAll, afterEach, describe, expect, it } from 'vitest';
import { freePort } from '../engines/csound-process.js';
import { board, closeSockets, receiver, type Board, type Receiver } from './osc-hands.js';
import { G2, ringing } from './performance.js';
import { endPrograms, run, start, workFolder, type Program } from './program.js';

const folder = workFolder();
afterEach(() => {
  endPrograms();
  closeSockets();
});
afterAll(folder.remove);

/** How long a stop may take, in milliseconds. */
const SOON = 1_000;

interface Sounding {
  readonly program: Program;
  readonly synth: Receiver;
  readonly hand: Board;
}

/** Starts a room and has four open strings ring. */
async function sounding(...args: string[]): Promise<Sounding> {
  const synth = await receiver();
  const port = await freePort();
  folder.write(
    'rooms/hall.yaml',
    `seats:
  - { name: north, instrument: bass-4x4, from: { osc: ${String(port)} } }
to:
  - osc: { host: 127.0.0.1, port: ${String(synth.port)} }
`,
  );
  const program = start(['play', 'hall', ...args], folder.path);
  await program.saw(/Listening for boards/);
  const hand = await board(port);
  await hand.play('north', ringing());
  await synth.heardThat((all) => all.length === 4);
  return { program, synth, hand };
}

function expectSilenced({ heard }: Receiver): void {
  expect(heard.slice(0, 4).every(({ address }) => address === '/note/on')).toBe(true);
  const offs = heard.slice(4, 8);
  expect(offs.map(({ address, args }) => [address, args[0]])).toEqual(
    [1, 2, 3, 4].map(() => ['/note/off', expect.any(Number)]),
  );
  expect(offs.map(({ args }) => args[0] as number).sort()).toEqual([1, 2, 3, 4]);
  expect(heard.length).toBeGreaterThan(8);
  expect(heard.slice(8).every(({ address }) => address === '/silence')).toBe(true);
}

describe('in the middle of sounding notes', () => {
  it.each(['SIGINT', 'SIGTERM', 'SIGHUP'] as const)(
    '%s ends each, then all, then the program, within a second',
    async (signal) => {
      const { program, synth } = await sounding('--record', signal);
      const asked = performance.now();
      program.signal(signal);
      await synth.heardThat((all) => all.at(-1)!.address === '/silence');
      expect(synth.heard.at(-1)!.ms - asked).toBeLessThan(SOON);
      const { code, err } = await program.ended;
      expect(code, err).toBe(0);
      expectSilenced(synth);
      // The take ends well: it plays again to the same notes, and no line of it is cut off.
      const again = await run(['rerun', `${signal}/latest/north.take.jsonl`], folder.path);
      expect(again.err).toBe('');
      const offs = again.out.trimEnd().split('\n').slice(4);
      expect(offs.map((line) => (JSON.parse(line) as { type: string }).type)).toEqual(
        offs.map(() => 'off'),
      );
      expect(offs).toHaveLength(4);
    },
  );

  it('the program itself is gone within a second where it keeps nothing', async () => {
    const { program } = await sounding();
    const asked = performance.now();
    program.signal('SIGTERM');
    expect((await program.ended).code).toBe(0);
    expect(performance.now() - asked).toBeLessThan(SOON);
  });

  it('a second signal ends it at once, and all the same leaves nothing sounding', async () => {
    const { program, synth } = await sounding('--record', 'twice');
    const asked = performance.now();
    program.signal('SIGINT');
    program.signal('SIGTERM');
    const { code } = await program.ended;
    expect(performance.now() - asked).toBeLessThan(SOON);
    expect([0, 1]).toContain(code);
    await synth.heardThat((all) => all.at(-1)!.address === '/silence');
    expectSilenced(synth);
  });

  it.each(['out', 'err'] as const)(
    'a reader of %s that goes away leaves nothing sounding',
    async (stream) => {
      const { program, synth, hand } = await sounding();
      program.deaf(stream);
      // Something to say: a note, and a stranger.
      hand.send('/pad', 'nobody', 0, 0);
      await hand.play('north', ringing([G2]));
      if (stream === 'err') {
        await synth.heardThat((all) => all.some(({ args }) => args[0] === 5));
        program.signal('SIGINT');
      }
      expect((await program.ended).code).toBe(0);
      await synth.heardThat((all) => all.at(-1)!.address === '/silence');
      const on = synth.heard.filter(({ address }) => address === '/note/on');
      const off = synth.heard.filter(({ address }) => address === '/note/off');
      expect(off.map(({ args }) => args[0]).sort()).toEqual(on.map(({ args }) => args[0]).sort());
      expect(on).toHaveLength(5);
    },
  );
});
