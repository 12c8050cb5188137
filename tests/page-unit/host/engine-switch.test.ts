import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import type { Engine } from '../../../src/ports/contracts.js';
import { switched } from '../../../src/page/host/engine-switch.js';
import type { VoiceEvent } from '../../../src/room/voice.js';
import { virtualClock } from '../../../src/time/clock.js';
import type { Seated } from '../../../src/time/alongside.js';
import type { WireEvent } from '../../../src/wire/scan.js';
import { anySeats, anyVoices } from '../../contract/voice-events.js';

function setUp(own: Partial<Engine> = {}) {
  const told: VoiceEvent[] = [];
  const engine = switched(
    { name: 'kept', send: (event) => told.push(event), close: () => Promise.resolve(), ...own },
    () => [0, 1],
    virtualClock(),
  );
  return { told, engine };
}

/** The voices that sound after all of these; fails where one ends that does not, or none was ended. */
function sounding(told: readonly VoiceEvent[]): Set<number> {
  const voices = new Set<number>();
  for (const event of told) {
    if (event.type === 'on') voices.add(event.voice);
    else if (event.type === 'off') expect(voices.delete(event.voice)).toBe(true);
    else if (event.type === 'silence') expect(voices.size).toBe(0);
  }
  return voices;
}

describe('an engine that is turned off', () => {
  it('has nothing sounding, whenever that is and whatever the room plays', () => {
    const any = anySeats(4).chain((seats) =>
      fc.record({ events: anyVoices(seats), turns: fc.array(fc.nat({ max: 80 })) }),
    );
    fc.assert(
      fc.property(any, ({ events, turns }) => {
        const { told, engine } = setUp();
        events.forEach((event, i) => {
          if (turns.includes(i)) {
            engine.turn(!engine.on);
            if (!engine.on) expect(sounding(told).size).toBe(0);
          }
          const before = told.length;
          engine.send(event);
          if (!engine.on) expect(told.slice(before).some(({ type }) => type === 'on')).toBe(false);
          if (event.type === 'mix') expect(told.at(-1)).toBe(event);
        });
        sounding(told);
      }),
      { numRuns: 200, seed: 6 },
    );
  });

  it('is given all as it is while it is on', () => {
    const any = anySeats(4).chain((seats) => anyVoices(seats));
    fc.assert(
      fc.property(any, (events) => {
        const { told, engine } = setUp();
        for (const event of events) engine.send(event);
        expect(told).toEqual(events);
      }),
      { numRuns: 50, seed: 6 },
    );
  });

  it('hands no readings on either, and what they held has ended there', () => {
    const read: Seated<WireEvent>[] = [];
    const { engine } = setUp({ reading: (event) => read.push(event) });
    const scan: Seated<WireEvent> = {
      type: 'seated',
      t: 1,
      seat: 0,
      event: { type: 'scan', t: 1, inputs: [0], raws: [1] },
    };
    engine.reading?.(scan);
    engine.turn(false);
    engine.reading?.(scan);
    expect(read.map(({ seat, event }) => [seat, event.type])).toEqual([
      [0, 'scan'],
      [0, 'reset'],
      [1, 'reset'],
    ]);
    engine.turn(true);
    engine.reading?.(scan);
    expect(read).toHaveLength(4);
    expect(setUp().engine.reading).toBeUndefined();
  });
});
