import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { midiEncoder, type MidiOut } from '../../src/engine/midi.js';
import type { SeatSound } from '../../src/engine/seat-sound.js';
import type { VoiceEvent, VoiceOn } from '../../src/room/voice.js';
import { anyChangingRoom } from '../contract/voice-events.js';
import { seatSound } from '../support/seat-sound.js';

const PERCUSSION = 9;

function run(
  seats: readonly (SeatSound | null)[],
  events: readonly VoiceEvent[],
  channels: 'seat' | 'string' = 'seat',
) {
  const encoder = midiEncoder({ seats, channels });
  let state = encoder.begin();
  const outs = events.map((event): { event: VoiceEvent; out: readonly MidiOut[] } => {
    const outcome = encoder.step(state, event);
    state = outcome.state;
    return { event, out: outcome.out };
  });
  return { encoder, outs, state };
}

const on = (t: number, voice: number, seat: number, note = 40, string = 0): VoiceOn => ({
  type: 'on',
  t,
  voice,
  seat,
  note,
  velocity: 90,
  strength: 0.5,
  string,
  fret: 0,
  how: 'pluck',
});
const off = (t: number, voice: number, seat: number, note = 40, string = 0): VoiceEvent => ({
  type: 'off',
  t,
  voice,
  seat,
  note,
  string,
  slurred: false,
});
const joined = (t: number, seat: number, own: Partial<SeatSound>): VoiceEvent => ({
  type: 'joined',
  t,
  seat,
  sound: seatSound(own),
});
const left = (t: number, seat: number): VoiceEvent => ({ type: 'left', t, seat });
/** The channels of Note Ons, counted from 1. */
const channelsOf = (outs: readonly { out: readonly MidiOut[] }[]): number[] =>
  outs.flatMap(({ out }) =>
    out.filter(({ bytes }) => bytes[0]! >> 4 === 9).map(({ bytes }) => (bytes[0]! & 15) + 1),
  );
const hex = (outs: readonly MidiOut[]): string[] =>
  outs.map(({ bytes }) => bytes.map((byte) => byte.toString(16).padStart(2, '0')).join(' '));

describe('seats that play', () => {
  it('keep their channels, one each while there are enough, whoever joins and leaves', () => {
    const seen = { notes: 0, joined: 0, alone: 0 };
    fc.assert(
      fc.property(anyChangingRoom(20), ({ seats, events }) => {
        const playing = new Map<number, SeatSound>([...seats.entries()]);
        const own = new Map<number, number>();
        let crowded = false;
        for (const { event, out } of run(seats, events).outs) {
          if (event.type === 'joined') {
            seen.joined++;
            playing.set(event.seat, event.sound);
          } else if (event.type === 'left') {
            playing.delete(event.seat);
            own.delete(event.seat);
          }
          const melodic = [...playing.values()].filter(({ kind }) => kind !== 'hits');
          crowded ||= melodic.length > 15;
          if (event.type !== 'on') continue;
          seen.notes++;
          const begun = out.find(({ bytes }) => bytes[0]! >> 4 === 9)!;
          const channel = begun.bytes[0]! & 15;
          const drums = playing.get(event.seat)!.kind === 'hits';
          expect(channel === PERCUSSION).toBe(drums);
          expect(own.get(event.seat) ?? channel).toBe(channel);
          own.set(event.seat, channel);
          if (drums || crowded) continue;
          const others = [...own].filter(([seat, one]) => seat !== event.seat && one === channel);
          expect(others).toEqual([]);
          seen.alone++;
        }
      }),
      { numRuns: 200 },
    );
    for (const count of Object.values(seen)) expect(count).toBeGreaterThan(100);
  });

  it('get a free channel each, the lowest, with its sound, level and place before their first note', () => {
    const { outs } = run(
      [seatSound({ sound: 34 })],
      [joined(0, 1, { sound: 25, level: 0.25, pan: 1 }), on(1, 1, 0), on(2, 2, 1), on(3, 3, 1)],
    );
    expect(hex(outs[0]!.out)).toEqual(['c1 18', 'b1 07 40', 'b1 0a 7f']);
    expect(channelsOf(outs)).toEqual([1, 2, 2]);
  });

  it('get the channel back that their slot had, where nobody else has it now', () => {
    const { outs } = run(
      [0, 1, 2].map((n) => seatSound({ name: String(n), sound: 34 + n })),
      [
        ...[left(0, 0), left(0, 1), joined(1, 1, { sound: 1 }), on(2, 1, 1), on(2, 2, 2)],
        ...[joined(3, 0, { sound: 2 }), on(4, 3, 0), left(5, 2), joined(5, 3, {}), on(6, 4, 3)],
      ],
    );
    expect(channelsOf(outs)).toEqual([2, 3, 1, 3]);
  });

  it('share the channel of their own sound where none is free, and are told of', () => {
    const seats = Array.from({ length: 15 }, (_, n) =>
      seatSound({ name: `seat ${String(n)}`, sound: 1 + n }),
    );
    const { encoder, outs, state } = run(seats, [
      ...[joined(0, 15, { name: 'late', sound: 7 }), on(1, 1, 15)],
      ...[joined(2, 16, { name: 'later', sound: 99 }), on(3, 2, 16)],
    ]);
    expect(channelsOf(outs)).toEqual([7, 1]);
    expect(encoder.notesOf(state, 15)).toMatchObject([
      {
        level: 'info',
        what: '"late" shares MIDI channel 7 with "seat 6", since no other one is free',
      },
    ]);
    expect(encoder.notesOf(state, 16)[0]).toMatchObject({ level: 'warn' });
    expect(encoder.notesOf(state, 0)).toHaveLength(1);
    // What sounds there already goes on: no message is about it but the new one's.
    expect(hex(outs[3]!.out)).toEqual(['90 28 5a']);
  });

  it('have the receiver leave mode 4 for a second one, in a pause of the first', () => {
    const bass = seatSound({ strings: 4 });
    const { encoder, outs } = run(
      [bass],
      [
        on(0, 1, 0),
        joined(1, 1, { strings: 4, sound: 1 }),
        on(2, 2, 1),
        off(3, 2, 1),
        off(4, 1, 0),
      ],
      'string',
    );
    expect(encoder.plan.mono).toEqual({ first: 0, count: 4 });
    // A mode message ends what sounds on its channel (Detailed Specification p21): not before the off.
    const modes = ['b0 7d 00', 'b0 7f 00'];
    expect(outs.map(({ out }) => hex(out).filter((one) => modes.includes(one)).length)).toEqual([
      ...[0, 0, 0, 0, 2],
    ]);
    expect(hex(outs[4]!.out)).toEqual(['80 28 40', ...modes]);
    expect(channelsOf(outs)).toEqual([1, 5]);
  });
});
