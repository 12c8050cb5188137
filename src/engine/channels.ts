import { describePlan, type PlanNote } from './channel-notes.js';
import type { SeatSound } from './seat-sound.js';

/** Whether a seat plays on one channel, or each of its strings on its own as in MIDI mode 4. */
export type Channels = 'seat' | 'string';

/** One seat's channels, counted from 0. */
export interface SeatChannels {
  /** `strings[i]` is the channel of string i; all alike where the strings share one. */
  readonly strings: readonly number[];
  /** Each string has a channel that no other string or seat plays on. */
  readonly apart: boolean;
}

/** One channel in use. Where seats share it, the first of them gives it its sound and its level. */
export interface UsedChannel {
  readonly channel: number;
  readonly seats: readonly number[];
  readonly sound: number;
  readonly level: number;
}

/** Which seat and string plays on which channel, and what people should know about it. */
export interface ChannelPlan {
  readonly seats: readonly SeatChannels[];
  readonly used: readonly UsedChannel[];
  /** The one block of channels that a receiver may be put into MIDI mode 4 for; null: none. */
  readonly mono: { readonly first: number; readonly count: number } | null;
  readonly notes: readonly PlanNote[];
}

/** All 16 but channel 10, which General MIDI keeps for percussion. */
const MELODIC = [0, 1, 2, 3, 4, 5, 6, 7, 8, 10, 11, 12, 13, 14, 15];

/**
 * Gives out MIDI channels so that no two seats meet on one while there are enough.
 *
 * `seat`: one each, in the order of the room, so 15 seats. `string`: each seat gets as many channels
 * side by side as it has strings (Detailed Specification p21: channels N to N+M−1); a seat for which
 * no such block is left gets one channel for all its strings. When none is free, a seat shares the
 * channel of a seat with the same sound, else the channel with the fewest seats. Before anybody has
 * to share, every sound that occurs gets a channel.
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

  if (mode === 'string') {
    for (const [seat, { strings }] of seats.entries()) {
      const block = findBlock(free, strings);
      if (block) give(seat, block, true);
    }
  }
  const waiting = seats.map((_, seat) => seat).filter((seat) => !given[seat]);
  for (const seat of sharersLast(seats, waiting, free.size)) {
    const strings = Math.max(1, seats[seat]!.strings);
    const [own] = free;
    const channel = own ?? bestToShare(seats, seat, onChannel);
    give(seat, Array<number>(strings).fill(channel), false);
  }

  const used = [...onChannel]
    .sort(([a], [b]) => a - b)
    .map(([channel, [first, ...others]]) => ({
      channel,
      seats: [first!, ...others],
      sound: seats[first!]!.sound,
      level: seats[first!]!.level,
    }));
  const all = given as SeatChannels[];
  const only = all.length === 1 && all[0]!.apart ? all[0]!.strings : null;
  const mono = only && { first: only[0]!, count: only.length };
  const plan = { seats: all, used, mono };
  return { ...plan, notes: describePlan(seats, mode, plan) };
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

function bestToShare(
  seats: readonly SeatSound[],
  seat: number,
  onChannel: ReadonlyMap<number, readonly number[]>,
): number {
  const { sound, level } = seats[seat]!;
  const cost = (sharers: readonly number[]): number => {
    const first = seats[sharers[0]!]!;
    return (first.sound === sound ? 0 : 1_000) + sharers.length + Math.abs(first.level - level);
  };
  const ranked = [...onChannel].sort(([, a], [, b]) => cost(a) - cost(b));
  return ranked[0]![0];
}
