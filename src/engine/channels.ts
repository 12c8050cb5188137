import { describePlan, type PlanNote } from './channel-notes.js';
import { PERCUSSION } from './midi-bytes.js';
import type { SeatSound } from './seat-sound.js';

/** Whether a seat plays on one channel, or each of its strings on its own as in MIDI mode 4. */
export type Channels = 'seat' | 'string';

/** One seat's channels, counted from 0. */
export interface SeatChannels {
  /** `strings[i]` is the channel of string i; one for all in a seat that has no strings. */
  readonly strings: readonly number[];
  /** Each string has a channel that no other string or seat plays on. */
  readonly apart: boolean;
}

/** One channel in use, and what it is set to as the room begins. */
export interface UsedChannel {
  readonly channel: number;
  readonly seats: readonly number[];
  /** That of the first seat. */
  readonly sound: number;
  /** That of the loudest seat. */
  readonly level: number;
  /** What all seats have, or the middle. */
  readonly pan: number;
}

/** Which seat and string plays on which channel, and what people should know about it. */
export interface ChannelPlan {
  readonly seats: readonly SeatChannels[];
  readonly used: readonly UsedChannel[];
  /** The one block of channels that a receiver may be put into MIDI mode 4 for; null: none. */
  readonly mono: { readonly first: number; readonly count: number } | null;
  readonly notes: readonly PlanNote[];
}

/** All 16 but channel 10. */
const MELODIC = [0, 1, 2, 3, 4, 5, 6, 7, 8, 10, 11, 12, 13, 14, 15];

/**
 * Gives out MIDI channels so that no two seats meet on one while there are enough. Drum pads play on
 * channel 10, all seats of them together, and nobody else does.
 *
 * `seat`: one each, in the order of the room, so 15 seats. `string`: each seat gets as many channels
 * side by side as it has strings (Detailed Specification p21: channels N to N+M−1); a seat for which
 * no such block is left gets one channel for all its strings. When none is free, a seat shares the
 * channel of a seat with the same sound, else the channel with the fewest seats. Before any seat has
 * to share, or gets a block, every sound of the others has a channel: no seat sounds with another's
 * program but where more sounds than channels are wanted.
 *
 * Mode 4 is planned for a single block only: a receiver has one, and FluidSynth 2.3.1 was seen to
 * turn deaf on every channel outside it.
 */
export function planChannels(seats: readonly SeatSound[], mode: Channels): ChannelPlan {
  const free = new Set(MELODIC);
  const given: (SeatChannels | undefined)[] = seats.map(() => undefined);
  const onChannel = new Map<number, number[]>();

  function give(seat: number, strings: readonly number[], apart: boolean): void {
    given[seat] = { strings, apart };
    for (const channel of new Set(strings)) {
      free.delete(channel);
      onChannel.set(channel, [...(onChannel.get(channel) ?? []), seat]);
    }
  }

  const waiting = (): number[] => [...seats.keys()].filter((seat) => !given[seat]);
  const soundsBut = (but: number): number =>
    new Set(waiting().flatMap((seat) => (seat === but ? [] : [seats[seat]!.sound]))).size;

  for (const [seat, { kind }] of seats.entries()) {
    if (kind === 'hits') give(seat, [PERCUSSION], false);
  }
  if (mode === 'string') {
    for (const seat of waiting()) {
      // Keys have chords, which one string's channel in mode 4 has not.
      if (seats[seat]!.kind === 'keys') continue;
      const block = findBlock(free, seats[seat]!.strings);
      if (block && free.size - block.length >= soundsBut(seat)) give(seat, block, true);
    }
  }
  for (const seat of sharersLast(seats, waiting(), free.size)) {
    const strings = Math.max(1, seats[seat]!.strings);
    const [own] = free;
    const channel = own ?? bestToShare(seats, seat, given, onChannel);
    give(seat, Array<number>(strings).fill(channel), false);
  }

  const used = [...onChannel]
    .sort(([a], [b]) => a - b)
    .map(([channel, sharers]) => usedChannel(channel, sharers, seats));
  const all = given as SeatChannels[];
  const only = all.length === 1 && all[0]!.apart ? all[0]!.strings : null;
  const mono = only && { first: only[0]!, count: only.length };
  const plan = { seats: all, used, mono };
  return { ...plan, notes: describePlan(seats, mode, plan) };
}

/** What all have, or the middle: one channel comes from one place. */
export function commonPan([first = 0, ...others]: readonly number[]): number {
  return others.every((pan) => pan === first) ? first : 0;
}

function usedChannel(
  channel: number,
  sharers: readonly number[],
  seats: readonly SeatSound[],
): UsedChannel {
  const all = sharers.map((seat) => seats[seat]!);
  return {
    channel,
    seats: sharers,
    sound: all[0]!.sound,
    level: Math.max(...all.map(({ level }) => level)),
    pan: commonPan(all.map(({ pan }) => pan)),
  };
}

/** The lowest `count` free channels that lie side by side. */
function findBlock(free: ReadonlySet<number>, count: number): number[] | undefined {
  if (count < 1) return undefined;
  for (const first of MELODIC) {
    const block = Array.from({ length: count }, (_, i) => first + i);
    if (block.every((channel) => free.has(channel))) return block;
  }
  return undefined;
}

/** The seats in the order they are served: where some must share, one seat of each sound goes first. */
function sharersLast(seats: readonly SeatSound[], waiting: number[], free: number): number[] {
  if (waiting.length <= free) return waiting;
  const heard = new Set<number>();
  const first = waiting.filter((seat) => {
    const { sound } = seats[seat]!;
    if (heard.has(sound)) return false;
    heard.add(sound);
    return true;
  });
  return [...first, ...waiting.filter((seat) => !first.includes(seat))];
}

/** A channel of the same sound, else any; of those the one with the fewest seats, from the nearest place. */
function bestToShare(
  seats: readonly SeatSound[],
  seat: number,
  given: readonly (SeatChannels | undefined)[],
  onChannel: ReadonlyMap<number, readonly number[]>,
): number {
  const { sound, pan } = seats[seat]!;
  const cost = (sharers: readonly number[]): number => {
    const first = seats[sharers[0]!]!;
    return (first.sound === sound ? 0 : 1_000) + sharers.length + Math.abs(first.pan - pan) / 4;
  };
  const ranked = [...onChannel]
    .filter(([channel, [first]]) => channel !== PERCUSSION && !given[first!]!.apart)
    .sort(([, a], [, b]) => cost(a) - cost(b));
  return ranked[0]![0];
}
