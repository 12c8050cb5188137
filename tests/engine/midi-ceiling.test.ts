import { describe, expect, it } from 'vitest';
import { midiEncoder, type MidiEncoder } from '../../src/engine/midi.js';
import type { VoiceEvent, VoiceOn } from '../../src/room/voice.js';
import { seatSound } from '../support/seat-sound.js';

/* Bytes from the MIDI 1.0 Detailed Specification 4.2.1: 9n is Note On (p10), Bn 07 is channel volume. */

const on = (velocity: number, more: Partial<VoiceOn> = {}): VoiceOn => ({
  type: 'on',
  t: 0,
  voice: velocity,
  seat: 0,
  note: 33,
  velocity,
  strength: 0.7,
  string: 0,
  fret: 0,
  how: 'pluck',
  ...more,
});
const loud = seatSound({ name: 'loud', level: 1 });
const soft = seatSound({ name: 'soft', level: 0.25 });
const encoder = (velocity: number, volume: number): MidiEncoder =>
  midiEncoder({ seats: [loud, soft], channels: 'seat', ceiling: { velocity, volume } });

function sent(stage: MidiEncoder, events: readonly VoiceEvent[]): number[][] {
  const state = stage.begin();
  return events.flatMap((event) => stage.step(state, event).out.map(({ bytes }) => [...bytes]));
}
const velocities = (messages: number[][]): number[] =>
  messages.filter(([status]) => (status! & 0xf0) === 0x90).map(([, , velocity]) => velocity!);
const volumes = (messages: readonly (readonly number[])[]): number[] =>
  messages
    .filter(([status, number]) => (status! & 0xf0) === 0xb0 && number === 7)
    .map(([, , value]) => value!);

describe('the ceiling of a synthesizer', () => {
  it('holds velocities down and leaves softer notes alone', () => {
    const events = [1, 60, 99, 100, 101, 127].map((velocity, i) => on(velocity, { note: 40 + i }));
    expect(velocities(sent(encoder(100, 127), events))).toEqual([1, 60, 99, 100, 100, 100]);
    expect(velocities(sent(encoder(127, 127), events))).toEqual([1, 60, 99, 100, 101, 127]);
  });

  it('also where a slur plucks again', () => {
    const slur: VoiceEvent[] = [
      on(120),
      { type: 'off', t: 0, voice: 120, seat: 0, note: 33, string: 0, slurred: true },
      on(127, { note: 35, how: 'hammer' }),
    ];
    const options = { seats: [loud], ceiling: { velocity: 64, volume: 127 } };
    for (const channels of ['seat', 'string'] as const) {
      expect(velocities(sent(midiEncoder({ ...options, channels }), slur))).toEqual([64, 64]);
    }
  });

  it('turns all volumes down alike, as the room opens, as it changes and as a synth comes back', () => {
    // A level of 0.25 is half of 127; a volume of 90 at full level makes it half of 90.
    const stage = encoder(127, 90);
    expect(volumes(stage.opening)).toEqual([90, 45]);
    const louder: VoiceEvent = {
      type: 'mix',
      t: 1,
      seat: 1,
      level: 1,
      pan: 0,
      sound: soft.sound,
      lead: false,
    };
    const state = stage.begin();
    const changed = stage.step(state, louder).out.map(({ bytes }) => bytes);
    expect(volumes(changed)).toEqual([90]);
    expect(volumes(stage.again(state))).toEqual([90, 90]);
  });

  it('leaves everything else as it is, and all of it where nothing is held down', () => {
    const plain = midiEncoder({ seats: [loud, soft], channels: 'seat' });
    expect(encoder(127, 127).opening).toEqual(plain.opening);
    const others = (messages: readonly (readonly number[])[]): unknown =>
      messages.filter(([status, number]) => (status! & 0xf0) !== 0xb0 || number !== 7);
    expect(others(encoder(1, 1).opening)).toEqual(others(plain.opening));
  });
});
