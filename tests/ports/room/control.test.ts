import { createSocket, type Socket } from 'node:dgram';
import { afterEach, describe, expect, it } from 'vitest';
import { parseRoom } from '../../../src/instrument/room.js';
import type { Notice } from '../../../src/ports/contracts.js';
import { nodeTimers, type Timers } from '../../../src/ports/live-clock.js';
import { roomControl, type RoomControl } from '../../../src/ports/room/control.js';
import type { Wish } from '../../../src/room/change.js';
import { encodeOsc, type OscArg } from '../../../src/wire/osc-codec.js';

const closing: (() => unknown)[] = [];
afterEach(async () => {
  for (const close of closing.splice(0)) await close();
});

/** A control that listens on a free port of this computer, and one who sends to it. */
async function open(timers: Timers = nodeTimers) {
  const asked: (Wish | 'silence')[] = [];
  const told: Notice[] = [];
  let came: () => void = () => undefined;
  const ask = (what: Wish | 'silence'): void => {
    asked.push(what);
    came();
  };
  const control: RoomControl = roomControl({
    port: 0,
    host: '127.0.0.1',
    seats: () => ['north', null, 'south'],
    timers,
    service: { change: ask, silence: () => ask('silence') },
    rules: { named: () => Promise.resolve() },
    tell: (notice) => {
      told.push(notice);
      came();
    },
  });
  const port = await control.opened;
  const socket: Socket = createSocket('udp4');
  closing.push(
    () => new Promise<void>((resolve) => socket.close(() => resolve())),
    () => control.close(),
  );
  const send = (address: string, ...args: OscArg[]): void => {
    socket.send(encodeOsc({ address, args }), port, '127.0.0.1');
  };
  /** Resolves once something was asked or told that makes it true. */
  const until = (ready: () => boolean): Promise<void> =>
    new Promise((resolve) => {
      came = () => {
        if (ready()) resolve();
      };
      came();
    });
  return { asked, told, send, until, port };
}

const NORTH: OscArg = { type: 's', value: 'north' };

describe('control over OSC', () => {
  it('hands what is asked to the room, in its order', async () => {
    const { asked, send, until, told, port } = await open();
    send('/seat/level', NORTH, { type: 'f', value: 0.5 });
    send('/room/duck', { type: 'i', value: 6 });
    send('/silence');
    await until(() => asked.length === 3);
    expect(asked).toEqual([
      { type: 'seat-change', seat: 0, level: 0.5 },
      { type: 'room-change', duck: 6 },
      'silence',
    ]);
    expect(told).toEqual([
      {
        level: 'info',
        what: 'Listening for programs that change the room',
        where: `UDP port ${String(port)}`,
        next: `Let the programs that change the room send to 127.0.0.1, port ${String(port)}`,
      },
    ]);
  });

  it('tells of each different thing that cannot be used once, and then how often', async () => {
    let now = 0;
    const { asked, told, send, until } = await open({ ...nodeTimers, now: () => now });
    const faults = (): string[] => told.slice(1).map(({ what }) => what);
    for (let n = 0; n < 20; n++) send('/seat/level', NORTH, { type: 'f', value: 9 });
    send('/seat/volume');
    for (let n = 0; n < 20; n++) send(`/nonsense/${String(n)}`);
    send('/silence');
    await until(() => asked.length === 1);
    expect(faults().slice(0, 2)).toEqual([
      'A message from 127.0.0.1 changes nothing: /seat/level: a level is a number from 0 to 1, not 9 (f)',
      expect.stringContaining('/seat/volume: no such message'),
    ]);
    // Not all of many different ones.
    expect(faults()).toHaveLength(8);
    now = 5_000;
    send('/seat/volume');
    await until(() => told.length === 10);
    expect(faults()[8]).toContain('34 more messages change nothing; the last came from 127.0.0.1');
    expect(told[2]!.next).toBe('Correct the program that sends them; seats here: north, south');
  });
});

describe('a room file', () => {
  const seats = 'seats: [{ name: a, instrument: b, from: { player: demo } }]';

  it('keeps it from the ports of the boards', () => {
    const board =
      'seats: [{ name: a, instrument: b, from: { osc: 9000 } }]\ncontrol: { osc: 9000 }';
    expect(() => parseRoom(board, 'r.yaml')).toThrow(
      'r.yaml:2:17: control.osc: found 9000, the port of seat "a" too, allowed: a port on which no seat listens',
    );
  });

  it('has no control unless it says so, and then on this computer only', () => {
    expect(parseRoom(seats, 'r.yaml').control).toBeNull();
    const control = (text: string): unknown => parseRoom(`${seats}\ncontrol: ${text}`, 'r').control;
    expect(control('{ osc: 9010 }')).toEqual({ osc: 9010, host: '127.0.0.1' });
    expect(control('{ osc: 9010, host: 0.0.0.0 }')).toEqual({ osc: 9010, host: '0.0.0.0' });
  });
});
