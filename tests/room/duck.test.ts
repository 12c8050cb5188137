import { describe, expect, it } from 'vitest';
import type { RoomChange } from '../../src/room/change.js';
import { duck, duckFactor, RECOVERY } from '../../src/room/duck.js';
import type { RoomPlan } from '../../src/room/plan.js';
import type { Mix, VoiceEvent, VoiceOff, VoiceOn } from '../../src/room/voice.js';
import { MILLISECOND } from '../../src/time/micros.js';
import { runStage } from '../support/run-stage.js';
import { roomOf } from './rooms.js';

const ms = (t: number): number => t * MILLISECOND;
const on = (t: number, seat: number, voice: number): VoiceOn => ({
  type: 'on',
  t: ms(t),
  voice,
  seat,
  note: 40,
  velocity: 90,
  strength: 0.5,
  string: 0,
  fret: 0,
  how: 'pluck',
});
const off = (t: number, seat: number, voice: number, slurred = false): VoiceOff => ({
  type: 'off',
  t: ms(t),
  voice,
  seat,
  note: 40,
  string: 0,
  slurred,
});
const mix = (t: number, seat: number, more: Partial<Mix> = {}): Mix => ({
  type: 'mix',
  t: ms(t),
  seat,
  level: 1,
  pan: 0,
  sound: 1,
  lead: false,
  ...more,
});

/** Mixes as time in milliseconds, seat and level in hundredths; other events by their type. */
function heard(room: RoomPlan, events: (VoiceEvent | RoomChange)[]): unknown[] {
  return runStage(duck(room), events).map((event) =>
    event.type === 'mix'
      ? [event.t / MILLISECOND, event.seat, Math.round(event.level * 1000) / 1000]
      : event.type,
  );
}

// By hand: 6 dB down is a factor of 10^(−6/20) = 0.501, 12 dB 0.251, 20 dB 0.1.
const LEAD = { 0: { lead: true }, 1: { level: 0.8 }, 2: { level: 0.4 } };
const room = roomOf(3, { duck: 6 }, LEAD);

describe('the factor of a duck', () => {
  it('is 10^(−dB/20)', () => {
    expect(duckFactor(0)).toBe(1);
    expect(duckFactor(6)).toBeCloseTo(0.50119, 5);
    expect(duckFactor(20)).toBeCloseTo(0.1, 12);
  });
});

describe('a lead', () => {
  it('turns the others down, right after its own note, and up 300 ms after its last one', () => {
    expect(RECOVERY).toBe(300 * MILLISECOND);
    expect(heard(room, [on(0, 0, 1), on(100, 0, 2), off(200, 0, 1), off(500, 0, 2)])).toEqual([
      ...['on', [0, 1, 0.401], [0, 2, 0.2]],
      ...['on', 'off', 'off'],
      ...[
        [800, 1, 0.8],
        [800, 2, 0.4],
      ],
    ]);
  });

  it('keeps them down over the pauses of its tune, and over a slur', () => {
    const events = [
      ...[on(0, 0, 1), off(100, 0, 1), on(399, 0, 2), off(450, 0, 2, true), on(450, 0, 3)],
      ...[off(600, 0, 3), on(901, 0, 4)],
    ];
    expect(heard(room, events)).toEqual([
      ...['on', [0, 1, 0.401], [0, 2, 0.2], 'off', 'on', 'off', 'on', 'off'],
      ...[
        [900, 1, 0.8],
        [900, 2, 0.4],
      ],
      ...['on', [901, 1, 0.401], [901, 2, 0.2]],
    ]);
  });

  it('moves nobody where others play, or where the duck is 0 dB', () => {
    expect(heard(room, [on(0, 1, 1), off(9, 1, 1)])).toEqual(['on', 'off']);
    expect(heard({ ...room, duck: 0 }, [on(0, 0, 1), off(9, 0, 1)])).toEqual(['on', 'off']);
  });

  it('is not turned down by another one, and the others rise after the last note of all leads', () => {
    const two = roomOf(3, { duck: 20 }, { 0: { lead: true }, 1: { lead: true } });
    const events = [on(0, 0, 1), on(10, 1, 2), off(20, 0, 1), off(500, 1, 2)];
    expect(heard(two, events)).toEqual([...['on', [0, 2, 0.1], 'on', 'off', 'off'], [800, 2, 1]]);
  });
});

describe('changes while a lead sounds', () => {
  it('of a level set the level that the seat comes up to', () => {
    const events = [on(0, 0, 1), mix(50, 1, { level: 0.6 }), off(100, 0, 1)];
    expect(heard(room, events)).toEqual([
      ...['on', [0, 1, 0.401], [0, 2, 0.2], [50, 1, 0.301], 'off'],
      ...[
        [400, 1, 0.6],
        [400, 2, 0.4],
      ],
    ]);
  });

  it('of the duck move the others at once', () => {
    const events = [on(0, 0, 1), { type: 'room-change', t: ms(50), duck: 12 } as const];
    // Only up to there: nothing comes up while the lead sounds.
    expect(heard(room, events)).toEqual([
      ...['on', [0, 1, 0.401], [0, 2, 0.2]],
      ...[
        [50, 1, 0.201],
        [50, 2, 0.1],
      ],
    ]);
  });

  it('that take the lead away bring the others up at once', () => {
    const events = [on(0, 0, 1), mix(50, 0), off(60, 0, 1)];
    expect(heard(room, events)).toEqual([
      ...['on', [0, 1, 0.401], [0, 2, 0.2]],
      ...[[50, 0, 1], [50, 1, 0.8], [50, 2, 0.4], 'off'],
    ]);
  });

  it('that make a lead of a seat that sounds turn the others down at once', () => {
    const events = [on(0, 1, 1), mix(50, 1, { level: 0.8, lead: true }), off(60, 1, 1)];
    expect(heard(room, events)).toEqual([
      ...['on', [50, 1, 0.8], [50, 2, 0.2], 'off', [360, 2, 0.4]],
    ]);
  });

  it('end with a silence like with its last note', () => {
    const events = [on(0, 0, 1), { type: 'silence', t: ms(50) } as const];
    expect(heard(room, events)).toEqual([
      ...['on', [0, 1, 0.401], [0, 2, 0.2], 'silence'],
      ...[
        [350, 1, 0.8],
        [350, 2, 0.4],
      ],
    ]);
  });
});
