import { describe, expect, it } from 'vitest';
import fc from 'fast-check';
import { planChannels } from '../../src/engine/channels.js';
import { PERCUSSION } from '../../src/engine/midi-bytes.js';
import type { SeatSound } from '../../src/engine/seat-sound.js';
import { anySeats } from '../contract/voice-events.js';
import { seatSound } from '../support/seat-sound.js';

const seat = (name: string, more: Partial<SeatSound> = {}): SeatSound => ({
  ...seatSound({ name, sound: 34, level: 1, strings: 4 }),
  ...more,
});
const room = (count: number, more: Partial<SeatSound> = {}): SeatSound[] =>
  Array.from({ length: count }, (_, i) => seat(`s${String(i + 1)}`, more));
const channelsOf = (seats: SeatSound[], mode: 'seat' | 'string'): number[][] =>
  planChannels(seats, mode).seats.map(({ strings }) => strings.map((channel) => channel + 1));

describe('a channel a seat', () => {
  it('goes in the order of the room and past channel 10, which is percussion', () => {
    const first = channelsOf(room(15), 'seat').map(([channel]) => channel);
    expect(first).toEqual([1, 2, 3, 4, 5, 6, 7, 8, 9, 11, 12, 13, 14, 15, 16]);
    expect(planChannels(room(15), 'seat').notes).toEqual([]);
  });

  it('is shared from the sixteenth seat on, by seats of one sound, and says so', () => {
    const seats = [...room(15), seat('flute 1', { sound: 74 }), seat('flute 2', { sound: 74 })];
    const plan = planChannels(seats, 'seat');
    const channel = (i: number): number => plan.seats[i]!.strings[0]!;
    expect(channel(16)).toBe(channel(15));
    const flutes = plan.used.find((used) => used.seats.includes(15))!;
    expect(flutes).toMatchObject({ sound: 74, seats: [15, 16] });
    expect(plan.notes.map(({ what }) => what)).toContain(
      `"flute 2" must share MIDI channel ${String(channel(15) + 1)} with "flute 1"`,
    );
  });
});

describe('a channel a string', () => {
  it('lies side by side for each seat, as MIDI mode 4 wants it (MIDI 1.0 p21)', () => {
    expect(channelsOf(room(3), 'string')).toEqual([
      [1, 2, 3, 4],
      [5, 6, 7, 8],
      [11, 12, 13, 14],
    ]);
  });

  it('becomes one channel for all strings where no block is left, and says so', () => {
    const plan = planChannels(room(4), 'string');
    expect(plan.seats[3]).toEqual({ strings: [8, 8, 8, 8], apart: false });
    expect(plan.notes[0]!.what).toBe(
      'The 4 strings of "s4" share MIDI channel 9, since no 4 channels side by side are left',
    );
  });

  it('plans mode 4 for a single seat only, and says so for more', () => {
    expect(planChannels(room(1), 'string').mono).toEqual({ first: 0, count: 4 });
    const two = planChannels(room(2), 'string');
    expect(two.mono).toBeNull();
    expect(two.notes.map(({ level }) => level)).toEqual(['info']);
  });

  it('copes with more strings than channels', () => {
    expect(channelsOf([seat('harp', { strings: 22 })], 'string')[0]).toEqual(Array(22).fill(1));
  });
});

describe('percussion', () => {
  const drums = (name: string, more: Partial<SeatSound> = {}): SeatSound =>
    seat(name, { kind: 'hits', sound: 1, strings: 1, ...more });

  it('is on channel 10 (General MIDI), all seats of it together, and takes none from the others', () => {
    const seats = [drums('d1'), ...room(15), drums('d2')];
    expect(channelsOf(seats, 'seat').map(([channel]) => channel)).toEqual([
      ...[10, 1, 2, 3, 4, 5, 6, 7, 8, 9, 11, 12, 13, 14, 15, 16, 10],
    ]);
    expect(planChannels(seats, 'seat').notes).toEqual([]);
  });

  it('says so where two kits, or two places, become one', () => {
    const seats = [drums('d1'), drums('d2', { sound: 9, pan: 1 })];
    expect(planChannels(seats, 'seat').notes).toEqual([
      {
        level: 'warn',
        what: '"d2" and "d1" play together on MIDI channel 10, the only one for percussion',
        where: 'MIDI channels',
        next: 'All of them sound with the drum kit of "d1"; all of them come from the middle; each keeps its own level by the velocity of its notes; use fewer seats on this port, or a second port',
      },
    ]);
  });
});

describe('any plan', () => {
  const anyMode = fc.constantFrom('seat' as const, 'string' as const);

  it('keeps channel 10 for drums, and lets nobody meet unless it says so', () => {
    fc.assert(
      fc.property(anySeats(40), anyMode, (seats, mode) => {
        const plan = planChannels(seats, mode);
        const shared = plan.used.filter(
          (used) => used.seats.length > 1 && used.channel !== PERCUSSION,
        );
        const told = plan.notes.filter(({ what }) => what.includes('must share'));
        expect(told).toHaveLength(shared.length);
        for (const [i, { strings, apart }] of plan.seats.entries()) {
          const { kind } = seats[i]!;
          expect(strings).toHaveLength(seats[i]!.strings);
          if (apart) expect(new Set(strings).size).toBe(strings.length);
          for (const channel of strings) {
            expect(plan.used.find((used) => used.channel === channel)!.seats).toContain(i);
            expect(Number.isInteger(channel) && channel >= 0 && channel <= 15).toBe(true);
            expect(channel === PERCUSSION).toBe(kind === 'hits');
          }
        }
      }),
    );
  });

  it('gives every sound a channel before anybody shares, or has a block for its strings', () => {
    fc.assert(
      fc.property(anySeats(40), anyMode, (seats, mode) => {
        const pitched = seats.filter(({ kind }) => kind !== 'hits');
        fc.pre(new Set(pitched.map(({ sound }) => sound)).size <= 15);
        const plan = planChannels(seats, mode);
        for (const [i, { strings }] of plan.seats.entries()) {
          if (seats[i]!.kind === 'hits') continue;
          const used = plan.used.find(({ channel }) => channel === strings[0])!;
          expect(used.sound).toBe(seats[i]!.sound);
        }
      }),
    );
  });
});
