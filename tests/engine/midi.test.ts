import { describe, expect, it } from 'vitest';
import { midiEncoder } from '../../src/engine/midi.js';
import { volumeOf } from '../../src/engine/midi-bytes.js';
import type { SeatSound } from '../../src/engine/seat-sound.js';
import type { VoiceEvent, VoiceOff, VoiceOn } from '../../src/room/voice.js';
import { seatSound } from '../support/seat-sound.js';

// Expected bytes are written from the MIDI 1.0 Detailed Specification 4.2.1; pages beside them.

const bass: SeatSound = seatSound({ name: 'north', sound: 34, level: 0.8, strings: 4 });

const on = (voice: number, note: number, more: Partial<VoiceOn> = {}): VoiceOn => ({
  type: 'on',
  t: 0,
  voice,
  seat: 0,
  note,
  velocity: 96,
  strength: 0.7,
  string: 0,
  fret: 0,
  how: 'pluck',
  ...more,
});
const off = (voice: number, note: number, more: Partial<VoiceOff> = {}): VoiceOff => ({
  type: 'off',
  t: 0,
  voice,
  seat: 0,
  note,
  string: 0,
  slurred: false,
  ...more,
});

function bytes(channels: 'seat' | 'string', events: VoiceEvent[], seats = [bass]): string[] {
  const stage = midiEncoder({ seats, channels });
  const state = stage.begin();
  return events.flatMap((event) => stage.step(state, event).out.map((out) => hex(out.bytes)));
}

const hex = (message: readonly number[]): string =>
  message.map((byte) => byte.toString(16).padStart(2, '0')).join(' ');

describe('a note', () => {
  it('is 9n kk vv and 8n kk 40: velocity passes, and 64 where none is measured (p10)', () => {
    const events = [
      on(1, 33, { velocity: 1 }),
      off(1, 33),
      on(2, 28, { velocity: 127, string: 3 }),
    ];
    expect(bytes('seat', events)).toEqual(['90 21 01', '80 21 40', '90 1c 7f']);
  });

  it('goes to the channel of its seat, or of its string', () => {
    const two = [bass, { ...bass, name: 'south' }];
    expect(bytes('seat', [on(1, 33, { seat: 1, string: 2 })], two)).toEqual(['91 21 60']);
    expect(bytes('string', [on(1, 33, { seat: 1, string: 2 })], two)).toEqual(['96 21 60']);
  });
});

describe('a slur', () => {
  const slur = [on(1, 33), off(1, 33, { slurred: true }), on(2, 35, { how: 'hammer' })];

  it('in mode 4 sends the second Note On before the first Note Off (p22)', () => {
    expect(bytes('string', slur)).toEqual(['90 21 60', '90 23 60', '80 21 40']);
  });

  it('on one channel a seat ends the first note before the second', () => {
    expect(bytes('seat', slur)).toEqual(['90 21 60', '80 21 40', '90 23 60']);
  });

  it('whose on never comes ends all the same', () => {
    const stage = midiEncoder({ seats: [bass], channels: 'string' });
    const state = stage.begin();
    stage.step(state, on(1, 33));
    const held = stage.step(state, off(1, 33, { t: 70, slurred: true }));
    expect(held.out).toEqual([]);
    expect(held.wake).toBe(71);
    expect(stage.step(state, { type: 'wake', t: 71 }).out.map((out) => hex(out.bytes))).toEqual([
      '80 21 40',
    ]);
  });

  it('is not taken on by another string', () => {
    const events = [on(1, 33), off(1, 33, { slurred: true }), on(2, 38, { string: 1 })];
    expect(bytes('string', events)).toEqual(['90 21 60', '80 21 40', '91 26 60']);
  });
});

describe('one pitch on two strings of a seat', () => {
  it('is plucked again, and ends when the last of them does', () => {
    const events = [on(1, 38), on(2, 38, { string: 1 }), off(1, 38), off(2, 38, { string: 1 })];
    expect(bytes('seat', events)).toEqual(['90 26 60', '80 26 40', '90 26 60', '80 26 40']);
  });

  it('is two notes where strings have their own channels', () => {
    const events = [on(1, 38), on(2, 38, { string: 1 }), off(1, 38), off(2, 38, { string: 1 })];
    expect(bytes('string', events)).toEqual(['90 26 60', '91 26 60', '80 26 40', '81 26 40']);
  });
});

describe('silence', () => {
  it('is the single Note Offs, then 123, which never replaces them (p24-25), then 120', () => {
    const two = [bass, { ...bass, name: 'south' }];
    const events: VoiceEvent[] = [on(1, 33), on(2, 40, { seat: 1 }), { type: 'silence', t: 9 }];
    expect(bytes('seat', events, two).slice(2)).toEqual([
      ...['80 21 40', '81 28 40'],
      ...['b0 7b 00', 'b1 7b 00'],
      ...['b0 78 00', 'b1 78 00'],
    ]);
  });
});

describe('opening and closing', () => {
  it('give each channel its program, which travels counted from 0, its volume and its pan', () => {
    const quiet = seatSound({ name: 'south', sound: 1, level: 0, pan: 1, strings: 1 });
    const encoder = midiEncoder({ seats: [bass, quiet], channels: 'seat' });
    const { opening } = encoder;
    expect(opening.map(hex)).toEqual([
      ...['c0 21', 'b0 07 72', 'b0 0a 40'],
      ...['c1 00', 'b1 07 00', 'b1 0a 7f'],
    ]);
    expect(encoder.closing(encoder.begin())).toEqual([]);
  });

  it('put one seat into mode 4: omni off, then mono with M channels, on channel N (p21)', () => {
    const encoder = midiEncoder({ seats: [bass], channels: 'string' });
    const { opening } = encoder;
    expect(opening.slice(0, 2).map(hex)).toEqual(['b0 7c 00', 'b0 7e 04']);
    expect(opening.slice(2).map(hex)).toEqual(
      [0, 1, 2, 3].flatMap((n) => {
        const channel = String(n);
        return [`c${channel} 21`, `b${channel} 07 72`, `b${channel} 0a 40`];
      }),
    );
    expect(encoder.closing(encoder.begin()).map(hex)).toEqual(['b0 7d 00', 'b0 7f 00']);
  });

  it('take the volume from amplitude = (cc7/127)² (General MIDI, from memory)', () => {
    expect([0, 0.25, 1].map(volumeOf)).toEqual([0, 64, 127]);
    for (let level = 0; level <= 1; level += 0.01) {
      // No further off than half a step of the controller.
      expect(Math.abs(Math.sqrt(level) - volumeOf(level) / 127)).toBeLessThanOrEqual(
        0.5 / 127 + 1e-9,
      );
    }
  });
});
