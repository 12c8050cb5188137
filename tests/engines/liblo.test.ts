import { spawn } from 'node:child_process';
import { createInterface } from 'node:readline';
import { afterEach, describe, expect, it } from 'vitest';
import { PLAIN } from '../../src/engine/osc-messages.js';
import { oscEncoder, type Ahead } from '../../src/engine/osc.js';
import { oscSink } from '../../src/ports/osc/sink.js';
import type { OscMessages } from '../../src/instrument/types.js';
import type { VoiceEvent, VoiceOn } from '../../src/room/voice.js';
import { encodeOsc } from '../../src/wire/osc-codec.js';
import { freePort } from './csound-process.js';
import { seatSound } from '../support/seat-sound.js';

// liblo, the OSC library behind many C programs, must read what we send. Its oscdump prints a line a
// message: the time tag in hexadecimal, address, types, arguments.

const open: (() => Promise<void>)[] = [];
afterEach(async () => {
  for (const close of open.splice(0).reverse()) await close();
});

async function start() {
  const port = await freePort();
  const dump = spawn('oscdump', ['-L', String(port)]);
  const missing = new Promise<never>((_, reject) => {
    dump.once('error', () => {
      reject(new Error("oscdump cannot be run: install Debian's package liblo-tools"));
    });
  });
  const ended = new Promise<void>((resolve) => {
    dump.once('close', () => {
      resolve();
    });
  });
  open.push(async () => {
    if (dump.pid !== undefined && dump.kill()) await ended;
  });
  const sink = oscSink({ host: '127.0.0.1', port, tell: () => undefined });
  open.push(() => sink.close());

  const lines = createInterface({ input: dump.stdout })[Symbol.asyncIterator]();
  const next = async (): Promise<string> =>
    (await Promise.race([lines.next(), missing])).value as string;
  // oscdump does not say when it listens, so it is called until it answers, and then once more.
  const call = (word: string): void => {
    sink.send(encodeOsc({ address: `/${word}`, args: [] }));
  };
  const calling = setInterval(() => {
    call('hello');
  }, 20);
  await next();
  clearInterval(calling);
  call('begin');
  while (!(await next()).includes('/begin'));
  return { sink, next };
}

const seats = ['north', 'south'].map((name) =>
  seatSound({ name, sound: 34, level: 1, strings: 4 }),
);
const on: VoiceOn = {
  type: 'on',
  t: 2_000_000,
  voice: 9,
  seat: 1,
  note: 28,
  velocity: 101,
  strength: 0.25,
  string: 3,
  fret: 0,
  how: 'pluck',
};
const events: VoiceEvent[] = [on, { type: 'silence', t: 2_500_000 }];

async function dumped(messages: OscMessages, ahead: Ahead | null = null): Promise<string[]> {
  const { sink, next } = await start();
  const stage = oscEncoder({ seats, messages, ahead });
  const state = stage.begin();
  const packets = events.flatMap((event) => stage.step(state, event).out);
  for (const { packet } of packets) sink.send(packet);
  const lines: string[] = [];
  while (lines.length < packets.length) lines.push((await next()).trim());
  return lines;
}

describe('liblo', () => {
  it('reads the plain messages', async () => {
    const lines = await dumped(PLAIN);
    // facts.md: MIDI 28 is 41.2034 Hz; oscdump shows six decimals of the 32-bit float.
    expect(lines.map((line) => line.replace(/^\S+ /, ''))).toEqual([
      '/note/on iiff 9 28 41.203445 0.250000',
      '/note/off i 9',
      '/silence',
    ]);
  });

  it('reads every type of a template, and names in the address', async () => {
    const on = '/bass/{seat}/{string} seat:s note:i strength:f frequency:d voice:h "a b":s';
    const lines = await dumped({ on, off: '/off voice:h', silence: '/all -1:i 0.5:d' });
    expect(lines.map((line) => line.replace(/^\S+ /, ''))).toEqual([
      '/bass/south/3 sifdhs "south" 28 0.250000 41.203445 9 "a b"',
      '/off h 9',
      '/all id -1 0.500000',
    ]);
  });

  it('reads the time tags of bundles', async () => {
    const past: Ahead = { by: 250_000, toUnix: (t) => t + 1_767_225_600_000_000 };
    const lines = await dumped(PLAIN, past);
    // 2026-01-01T00:00:00Z and 2.25 s, in seconds since 1900 and parts of 2^32.
    const seconds = Date.UTC(2026, 0, 1) / 1_000 + 2_208_988_800 + 2;
    expect(lines[0]!.split(' ')[0]).toBe(`${seconds.toString(16)}.40000000`);
    expect(lines[1]!.split(' ')[0]).toBe(`${seconds.toString(16)}.c0000000`);
  });
});
