import { createSocket } from 'node:dgram';
import { once } from 'node:events';
import { afterEach, describe, expect, it } from 'vitest';
import type { Engine } from '../../src/ports/contracts.js';
import { liveClock } from '../../src/ports/live-clock.js';
import { oscSource } from '../../src/ports/osc/source.js';
import { decodeControl } from '../../src/ports/room/control-messages.js';
import { startService, type Service } from '../../src/ports/service.js';
import { plainRoom } from '../../src/room/plan.js';
import type { VoiceEvent } from '../../src/room/voice.js';
import { seededNumbers } from '../../src/demo/gestures.js';
import { bassPlan } from '../support/bass.js';
import { HOSTILE_SEATS, hostileDatagram } from './hostile.js';

/** A unit that rests at 1,000 and is fully touched at 1,600, as the datagrams have it. */
const pads = Array.from({ length: 20 }, (_, pad) => pad);
const build = {
  wiring: pads,
  pads: pads.map(() => ({ rest: 1_000, span: 600, noise: 4, coupling: [] })),
};

const running: Service[] = [];
afterEach(async () => {
  for (const service of running.splice(0)) await service.stop();
});

describe('hostile datagrams', () => {
  it.each(['pads', 'notes'] as const)(
    'to a real port that takes %s leave no note on, and end each that they began once',
    async (hand) => {
      const told: VoiceEvent[] = [];
      const engine: Engine = {
        name: 'kept',
        send: (event) => told.push(event),
        close: () => Promise.resolve(),
      };
      const plan = { ...bassPlan(), pads: { ...bassPlan().pads, build } };
      const clock = liveClock();
      const tell = (): void => undefined;
      const seats = new Map(
        HOSTILE_SEATS.map((name, seat) => [name, { seat, full: 16_383, hand }]),
      );
      const source = oscSource({ port: 0, host: '127.0.0.1', seats, clock, tell });
      const service = startService({
        seats: HOSTILE_SEATS.map((name) => ({
          name,
          plan: { ...plan, made: hand === 'notes' },
        })),
        room: plainRoom(2),
        sources: [source],
        engines: [engine],
        clock,
        tell,
      });
      running.push(service);
      const port = await source.opened;
      const random = seededNumbers(20_261);
      let read = 0;
      source.events.subscribe(() => read++);
      const socket = createSocket('udp4');
      for (let n = 0; n < 3_000; n++) {
        socket.send(hostileDatagram(random), port, '127.0.0.1');
        // So that the system need not drop any.
        if (n % 20 === 0) await new Promise((done) => setImmediate(done));
      }
      socket.close();
      await once(socket, 'close');
      await service.stop();
      expect(read).toBeGreaterThan(200);
      const of = (type: string) =>
        told.flatMap((event) => (event.type === type && 'voice' in event ? [event.voice] : []));
      expect(of('off').sort((a, b) => a - b)).toEqual(of('on'));
      expect(of('on').length).toBeGreaterThan(5);
      expect(told.at(-1)!.type).toBe('silence');
    },
  );

  it('to the port for control are read without a throw, as what they say or with a reason', () => {
    const random = seededNumbers(7);
    let [wishes, faults] = [0, 0];
    for (let n = 0; n < 2_000; n++) {
      const decoded = decodeControl(hostileDatagram(random), HOSTILE_SEATS);
      wishes += decoded.wishes.length;
      faults += decoded.faults.length;
      for (const fault of decoded.faults) expect(fault.length).toBeGreaterThan(0);
    }
    expect(wishes).toBeGreaterThan(0);
    expect(faults).toBeGreaterThan(500);
  });

  it('are the same for the same seed', () => {
    const some = (seed: number): string[] => {
      const random = seededNumbers(seed);
      return Array.from({ length: 50 }, () => Buffer.from(hostileDatagram(random)).toString('hex'));
    };
    expect(some(3)).toEqual(some(3));
    expect(some(3)).not.toEqual(some(4));
  });
});
