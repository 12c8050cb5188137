import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { midiEncoder } from '../../src/engine/midi.js';
import { PERCUSSION } from '../../src/engine/midi-bytes.js';
import type { SeatSound } from '../../src/engine/seat-sound.js';
import { softer } from '../../src/engine/softer.js';
import type { Mix, VoiceEvent, VoiceOn } from '../../src/room/voice.js';
import { anySeats, anyVoices } from '../contract/voice-events.js';
import { seatSound } from '../support/seat-sound.js';
import { softened } from './played.js';
import { MidiReceiver } from './midi-receiver.js';

const on = (seat: number, voice: number, velocity = 100): VoiceOn => ({
  type: 'on',
  t: 0,
  voice,
  seat,
  note: 30 + voice,
  velocity,
  strength: 0.7,
  string: 0,
  fret: 0,
  how: 'pluck',
});
const mix = (seat: number, more: Partial<Mix> = {}): Mix => ({
  type: 'mix',
  t: 0,
  seat,
  level: 1,
  pan: 0,
  sound: 34,
  lead: false,
  ...more,
});
const room = (count: number, more: Partial<SeatSound> = {}): SeatSound[] =>
  Array.from({ length: count }, (_, i) => seatSound({ name: `s${String(i)}`, ...more }));

/** The bytes that each event makes after the opening. */
function sent(seats: readonly SeatSound[], events: readonly VoiceEvent[]): number[][][] {
  const encoder = midiEncoder({ seats, channels: 'seat' });
  const state = encoder.begin();
  return events.map((event) => encoder.step(state, event).out.map(({ bytes }) => [...bytes]));
}

describe('a mix', () => {
  it('is a Program Change, controller 7 and controller 10, each only where it is another', () => {
    const events = [mix(1, { level: 0.25 }), mix(1, { level: 0.25, pan: -1 })];
    // Controller 7 by amplitude = (value / 127)²: √0.25 · 127 is 63.5.
    expect(sent(room(2), [...events, mix(1, { level: 0.25, pan: 1, sound: 1 })])).toEqual([
      [[0xb1, 7, 64]],
      [[0xb1, 10, 0]],
      [
        [0xc1, 0],
        [0xb1, 10, 127],
      ],
    ]);
    expect(sent(room(2), [mix(0), mix(1)])).toEqual([[], []]);
  });

  it('goes to all channels of a seat that has one a string', () => {
    const encoder = midiEncoder({ seats: room(1), channels: 'string' });
    const { out } = encoder.step(encoder.begin(), mix(0, { level: 0 }));
    expect(out.map(({ bytes }) => bytes)).toEqual([0, 1, 2, 3].map((n) => [0xb0 | n, 7, 0]));
  });

  it('is known to a receiver that comes back', () => {
    const encoder = midiEncoder({ seats: room(1), channels: 'seat' });
    const { state } = encoder.step(encoder.begin(), mix(0, { level: 0.25, pan: 1, sound: 1 }));
    expect(encoder.again(state)).toEqual([
      [0xc0, 0],
      [0xb0, 7, 64],
      [0xb0, 10, 127],
    ]);
  });
});

describe('seats of different levels on one channel', () => {
  // Two drum sets, the one at half the other's amplitude: −6.02 dB.
  const sets = [
    seatSound({ name: 'loud', kind: 'hits', sound: 1, level: 0.8, strings: 1 }),
    seatSound({ name: 'soft', kind: 'hits', sound: 1, level: 0.4, strings: 1 }),
  ];
  const level = (velocity: number): number =>
    20 * Math.log10((((1 - 0.02395829) / 127) * velocity + 0.02395829) ** 2);

  it('have the volume of the loudest, and the others softer velocities by the square law', () => {
    const { opening } = midiEncoder({ seats: sets, channels: 'seat' });
    expect(opening).toContainEqual([0xb9, 7, 114]);
    const [first, second] = sent(sets, [on(0, 1), on(1, 2)]) as [number[][], number[][]];
    expect(first[0]).toEqual([0x99, 31, 100]);
    // By hand: m = 0.0076854, b = 0.0239583; √a(100) = 0.7925, · √½ = 0.5604, v = 69.8.
    expect(second[0]).toEqual([0x99, 32, 70]);
    expect(level(70) - level(100)).toBeCloseTo(-6.02, 1);
  });

  it('change over when the other one is the loudest', () => {
    const [change, first, second] = sent(sets, [
      { ...mix(1, { level: 1, sound: 1 }) },
      on(0, 1),
      on(1, 2),
    ]) as number[][][];
    expect(change).toEqual([[0xb9, 7, 127]]);
    // √0.8 of the root: (0.7925 · 0.8944 − 0.0239583) / 0.0076854 = 89.1.
    expect([first![0]![2], second![0]![2]]).toEqual([89, 100]);
  });

  it('are softer as the formula of the paper, solved for the velocity, has it', () => {
    for (let velocity = 1; velocity <= 127; velocity++) {
      for (const factor of [1, 0.9, 0.5, 0.2, 0.01, 0]) {
        expect(softer(velocity, factor)).toBe(softened(velocity, factor));
      }
    }
  });
});

describe('new sounds on shared channels', () => {
  const seats = room(16);
  const channelOf = (outs: number[][]): number =>
    outs.find(([status]) => status! >> 4 === 9)![0]! & 15;

  it('are a Program Change on a channel that others leave to the seat', () => {
    // Seat 15 shares channel 1 with seat 0, and can as well share another of the same sound.
    expect(sent(seats, [mix(0, { sound: 5 }), mix(0, { sound: 5 })])).toEqual([[[0xc0, 4]], []]);
    expect(sent(seats, [mix(15, { sound: 5 })])).toEqual([[[0xc0, 4]]]);
  });

  it('wait on a channel that must be shared until all agree', () => {
    // Sixteen sounds for fifteen channels: the last seat shares channel 1 with the first.
    const many = Array.from({ length: 16 }, (_, i) => seatSound({ sound: i + 1 }));
    expect(sent(many, [mix(15, { sound: 90 }), mix(0, { sound: 90 })])).toEqual([[], [[0xc0, 89]]]);
  });

  it('move the seat, and not those it shared with', () => {
    const receiver = new MidiReceiver();
    const outs = sent(seats, [on(0, 1), mix(0, { sound: 5 }), on(0, 2), on(15, 3)]);
    for (const bytes of midiEncoder({ seats, channels: 'seat' }).opening) receiver.receive(bytes);
    for (const bytes of outs.flat()) receiver.receive(bytes);
    const [before, , moved, stayed] = outs.map((out) => (out.length > 0 ? out : [[0x90]]));
    expect(receiver.programs[channelOf(moved!)]).toBe(4);
    expect(receiver.programs[channelOf(stayed!)]).toBe(33);
    expect(channelOf(before!)).toBe(0);
  });

  it('cannot be had where more sounds than channels are wanted, and that is said', () => {
    const many = Array.from({ length: 16 }, (_, i) => seatSound({ sound: i === 15 ? 1 : i + 1 }));
    const encoder = midiEncoder({ seats: many, channels: 'seat' });
    const { state } = encoder.step(encoder.begin(), mix(15, { sound: 100 }));
    expect(encoder.misfitOf(state, 15)?.what).toContain('cannot have the sound 100');
    expect(encoder.misfitOf(state, 3)).toBeNull();
  });

  it('never give a note another program than its seat’s, while there are no more sounds than channels', () => {
    let shared = 0;
    fc.assert(
      fc.property(
        anySeats(40).chain((all) => fc.tuple(fc.constant(all), anyVoices(all))),
        fc.constantFrom('seat' as const, 'string' as const),
        ([all, events], channels) => {
          const encoder = midiEncoder({ seats: all, channels });
          const receiver = new MidiReceiver();
          for (const bytes of encoder.opening) receiver.receive(bytes);
          const state = encoder.begin();
          // Channels that belong to a block of strings cannot be shared.
          const blocked = new Set(
            encoder.plan.seats.flatMap(({ apart, strings }) => (apart ? strings : [])),
          );
          const sounds = all.map(({ sound }) => sound);
          for (const event of events) {
            if (event.type === 'mix') sounds[event.seat] = event.sound;
            const { out } = encoder.step(state, event);
            for (const { bytes } of out) {
              const heard = receiver.receive(bytes);
              if (heard === null || event.type !== 'on') continue;
              const { kind } = all[event.seat]!;
              expect(heard.channel === PERCUSSION).toBe(kind === 'hits');
              const wanted = new Set(
                sounds.filter((_, i) => all[i]!.kind !== 'hits' && !encoder.plan.seats[i]!.apart),
              );
              if (kind === 'hits' || wanted.size > 15 - blocked.size) continue;
              if (all.length > 16) shared++;
              expect(receiver.programs[heard.channel]).toBe(sounds[event.seat]! - 1);
            }
          }
          for (const [i] of all.entries()) {
            const misfit = encoder.misfitOf(state, i);
            if (all[i]!.kind === 'hits') continue;
            const now = state.mix.seats[i]!;
            expect(misfit === null).toBe(receiver.programs[now.channels[0]!] === sounds[i]! - 1);
          }
        },
      ),
      { numRuns: 500 },
    );
    expect(shared).toBeGreaterThan(500);
  });
});
