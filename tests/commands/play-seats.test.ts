import { readFileSync } from 'node:fs';
import { setTimeout as pause } from 'node:timers/promises';
import { join } from 'node:path';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { freePort } from '../engines/csound-process.js';
import {
  board,
  closeSockets,
  receiver,
  type Board,
  type Heard,
  type Receiver,
} from './osc-hands.js';
import { endPrograms, run, start, workFolder, type Ended, type Program } from './program.js';

const REST = 1_000;
const TOUCHED = 1_600;
const SCAN_MS = 8;
/** A unit without a build is looked at for a second before it plays. */
const AT_REST_MS = 2_000;
/** Generous, for a busy machine: what is waited for comes at once or never. */
const PATIENCE_MS = 20_000;

const folder = workFolder();
const units: Unit[] = [];
afterAll(() => {
  for (const unit of units) unit.stop();
  endPrograms();
  closeSockets();
  folder.remove();
});

/** A board that reports all its pads all the time, as real ones do, and the hand on it. */
class Unit {
  private raws: number[] = [];
  private readonly timer: NodeJS.Timeout;
  private to: Board | null = null;

  constructor(private readonly seat: string) {
    this.timer = setInterval(() => this.scan(), SCAN_MS);
    units.push(this);
  }

  /** The board sends so many pads there from now on, none touched. */
  plug(to: Board | null, pads: number): void {
    this.to = to;
    this.raws = Array<number>(pads).fill(REST);
  }

  press(pad: number): void {
    this.raws[pad] = TOUCHED;
  }

  release(pad: number): void {
    this.raws[pad] = REST;
  }

  stop(): void {
    clearInterval(this.timer);
  }

  private scan(): void {
    if (this.raws.length > 0) this.to?.send('/pads', this.seat, 0, ...this.raws);
  }
}

const MESSAGES = `{ on: "/on seat:s voice:i note:i", off: "/off seat:s voice:i note:i",
        silence: /hush, mix: "/mix seat:s level:f" }`;

const of = (heard: readonly Heard[], address: string, seat: string): Heard[] =>
  heard.filter((one) => one.address === address && one.args[0] === seat);
const voices = (heard: readonly Heard[]): unknown[] => heard.map(({ args }) => args[1]);
const notes = (heard: readonly Heard[]): unknown[] => heard.map(({ args }) => args[2]);

async function within<Value>(what: string, promise: Promise<Value>): Promise<Value> {
  const late = pause(PATIENCE_MS).then(() => {
    throw new Error(`it never came: ${what}`);
  });
  return Promise.race([promise, late]);
}

/** A room file, in the parts that the steps change. */
interface Hall {
  readonly south?: string;
  readonly engines?: readonly string[];
  readonly control?: number;
  readonly first?: 'north' | 'south';
}

let program: Program;
let ended: Ended;
let synth: Receiver;
let second: Receiver;
const ports: number[] = [];

function write({ south, engines = [], control, first = 'north' }: Hall): void {
  const north = `  - { name: north, instrument: keys-13, from: { osc: ${String(ports[0])} } }\n`;
  const other = south === undefined ? '' : `  - { name: south, ${south} }\n`;
  const osc = (port: number): string =>
    `  - osc: { host: 127.0.0.1, port: ${String(port)}, messages: ${MESSAGES} }\n`;
  folder.write(
    'rooms/hall.yaml',
    `seats:\n${first === 'north' ? north + other : other + north}to:\n${osc(synth.port)}${engines.join('')}` +
      (control === undefined ? '' : `control: { osc: ${String(control)} }\n`),
  );
}

/** Saves the room as it is to be, and waits until the program says so. */
async function save(hall: Hall, said: RegExp): Promise<void> {
  write(hall);
  await within(String(said), program.saw(said));
}

/** Touches a pad until its note was heard, then lets go of it until that was. */
async function tap(unit: Unit, seat: string, pad: number): Promise<void> {
  const count = (address: string): number => of(synth.heard, address, seat).length;
  const before = count('/on');
  unit.press(pad);
  await within(
    `a note of ${seat}`,
    synth.heardThat(() => count('/on') > before),
  );
  unit.release(pad);
  await pause(6 * SCAN_MS);
}

/** The keys that north taps while all else happens, until it is told to stop. */
async function tapOn(unit: Unit, over: () => boolean): Promise<number> {
  let taps = 0;
  for (; !over(); taps++) await tap(unit, 'north', 1 + (taps % 12));
  return taps;
}

describe('a room that is changed while it is played', () => {
  const north = new Unit('north');
  const south = new Unit('south');
  let taps = 0;
  /** The voice that south held as each of these was saved. */
  const cut: Record<string, unknown> = {};

  async function holdKey(what: string): Promise<void> {
    const before = of(synth.heard, '/on', 'south').length;
    south.press(0);
    await within(
      'the key',
      synth.heardThat((all) => of(all, '/on', 'south').length > before),
    );
    cut[what] = voices(of(synth.heard, '/on', 'south')).at(-1);
  }

  beforeAll(async () => {
    [synth, second] = [await receiver(), await receiver()];
    for (let i = 0; i < 5; i++) ports.push(await freePort());
    const [first, other, another, control, changed] = ports as [
      number,
      number,
      number,
      number,
      number,
    ];
    write({});
    program = start(['play', 'hall', '--record', 'kept', '--quiet'], folder.path);
    await program.saw(/Playing/);

    north.plug(await board(first), 13);
    await pause(AT_REST_MS);
    north.press(0);
    await within(
      'the held key',
      synth.heardThat((all) => of(all, '/on', 'north').length === 1),
    );
    let over = false;
    const playing = tapOn(north, () => over);
    // Where it fails, it is awaited below, or something else has failed before.
    playing.catch(() => undefined);

    // A seat joins: its board has sent to a port of which nobody heard so far.
    const from = (port: number): string => `from: { osc: ${String(port)} }`;
    south.plug(await board(other), 20);
    await save({ south: `instrument: bass-4x4, ${from(other)}` }, /south has joined the room/);
    await pause(AT_REST_MS);
    await tap(south, 'south', 19);
    // An instrument of another size, and of another kind.
    south.plug(await board(other), 28);
    await save(
      { south: `instrument: ukulele-4x6, ${from(other)}` },
      /It starts again, .*: .*ukulele/i,
    );
    await pause(AT_REST_MS);
    await tap(south, 'south', 27);
    south.plug(await board(other), 13);
    await save({ south: `instrument: keys-13, ${from(other)}` }, /It starts again, .*: .*key/i);
    await pause(AT_REST_MS);
    await tap(south, 'south', 5);
    // Another port; what is held ends.
    await holdKey('moved');
    await save(
      { south: `instrument: keys-13, ${from(another)}` },
      new RegExp(`Its readings come from OSC on UDP port ${String(another)} now`),
    );
    south.plug(await board(another), 13);
    await pause(AT_REST_MS);
    await tap(south, 'south', 7);
    const whole: Hall = { south: `instrument: keys-13, ${from(another)}`, first: 'south' };
    await save(whole, /The seats are in this order now: south, north/);

    // Engines come and go: another receiver, and a port of our own where the system lets one.
    const engines = [
      `  - osc: { host: 127.0.0.1, port: ${String(second.port)}, messages: ${MESSAGES} }\n`,
      '  - midi: { virtual: hall }\n',
    ];
    await save({ ...whole, engines }, /Notes now go to our own MIDI port "hall"/);
    await holdKey('removed engine');
    await within(
      'a note',
      second.heardThat((all) => of(all, '/on', 'south').length > 0),
    );
    await save(whole, /Notes no longer go to our own MIDI port "hall"/);
    south.release(0);
    await pause(6 * SCAN_MS);

    // The control, and then on another port.
    const level = async (port: number, value: number): Promise<void> => {
      const sender = await board(port);
      const arrived = synth.heardThat((all) =>
        of(all, '/mix', 'south').some(({ args }) => Math.abs((args[1] as number) - value) < 1e-6),
      );
      // A float of osc-min's own, as `board` sends whole numbers.
      // Again and again, as its port may not be open yet.
      const sending = setInterval(() => sender.raw(levelMessage('south', value)), 100);
      await within(`the level ${String(value)}`, arrived).finally(() => clearInterval(sending));
    };
    await save(
      { ...whole, control },
      new RegExp(`changed over OSC on UDP port ${String(control)} now`),
    );
    await level(control, 0.25);
    await save(
      { ...whole, control: changed },
      new RegExp(`changed over OSC on UDP port ${String(changed)} now`),
    );
    await level(changed, 0.75);

    // The seat leaves while it holds a key.
    await holdKey('left');
    await save({}, /south has left the room: its notes were ended/);
    await within(
      'the end of its note',
      synth.heardThat((all) => voices(of(all, '/off', 'south')).includes(cut.left)),
    );
    over = true;
    taps = await playing;
    north.release(0);
    await within(
      'the end of the held key',
      synth.heardThat((all) => of(all, '/off', 'north').length === taps + 1),
    );
    program.signal('SIGINT');
    ended = await program.ended;
  }, 240_000);

  it('costs whoever plays on nothing: each tap one note, and the held key one from start to end', () => {
    expect(ended.code, ended.err).toBe(0);
    const [ons, offs] = ['/on', '/off'].map((address) => of(synth.heard, address, 'north'));
    expect(taps).toBeGreaterThan(30);
    // C4 is key 0; the taps go up key by key.
    const tapped = Array.from({ length: taps }, (_, i) => 61 + (i % 12));
    expect(notes(ons!)).toEqual([60, ...tapped]);
    expect(notes(offs!)).toEqual([...tapped, 60]);
    expect(voices(offs!).sort()).toEqual(voices(ons!).sort());
  });

  it('plays the seat that joins, with each instrument, and ends each of its notes once', () => {
    const [ons, offs] = ['/on', '/off'].map((address) => of(synth.heard, address, 'south'));
    // E1, A4 (the last pluck pads of both), and keys.
    expect(notes(ons!)).toEqual([28, 69, 65, 60, 67, 60, 60]);
    expect(new Set(voices(ons!)).size).toBe(7);
    expect(voices(offs!).sort()).toEqual(voices(ons!).sort());
  });

  it('ends what is held where a wire moves, an engine goes, and a seat leaves', () => {
    const { moved, left, 'removed engine': removed } = cut;
    for (const voice of [moved, left])
      expect(voices(of(synth.heard, '/off', 'south'))).toContain(voice);
    const there = second.heard;
    expect(voices(of(there, '/on', 'south'))).toEqual([removed]);
    expect(voices(of(there, '/off', 'south'))).toEqual([removed]);
    // Of north it heard whole notes only, among them none that had begun before.
    expect(voices(of(there, '/off', 'north')).sort()).toEqual(
      voices(of(there, '/on', 'north')).sort(),
    );
    expect(voices(of(there, '/on', 'north'))).not.toContain(1);
    // The other receiver went on with that note.
    const whole = of(synth.heard, '/off', 'south').find(({ args }) => args[1] === removed)!;
    expect(whole.ms).toBeGreaterThan(there.at(-1)!.ms);
  });

  it('can be run again from its take to the same notes, byte for byte', async () => {
    const text = readFileSync(join(folder.path, 'kept/latest/notes.jsonl'), 'utf8');
    const again = await run(['rerun', 'kept/latest/room.take.jsonl'], folder.path);
    expect([again.code, again.err]).toEqual([0, '']);
    expect(again.out).toBe(text);
    expect(text.split('\n').filter((line) => line.includes('"south"'))).toHaveLength(14);
  });

  it('speaks of nobody as if they played who does not', () => {
    expect(ended.err).not.toContain('play it again');
    const [, ...after] = ended.err.slice(ended.err.indexOf('south has left')).split('\n');
    expect(after.join('\n')).not.toMatch(/seat south|south has/i);
  });
});

/** `/seat/level ,sf` by hand: OSC 1.0, strings padded to four bytes, a big-endian float. */
function levelMessage(seat: string, value: number): Uint8Array {
  const padded = (text: string): Buffer =>
    Buffer.concat([Buffer.from(text), Buffer.alloc(4 - (text.length % 4))]);
  const float = Buffer.alloc(4);
  float.writeFloatBE(value);
  return Buffer.concat([padded('/seat/level'), padded(',sf'), padded(seat), float]);
}
