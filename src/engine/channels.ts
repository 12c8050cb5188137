import { describePlan, type PlanNote } from './channel-notes.js';
import { PERCUSSION } from './midi-bytes.js';
import type { SeatSound } from './seat-sound.js';

/** Whether a seat plays on one channel, or each of its strings on its own as in MIDI mode 4. */
export type Channels = 'seat' | 'string';

/** One seat's channels, counted from 0. */
export interface SeatChannels {
  /** `strings[i]` is the channel of string i; one for all in a seat that has no strings; none where nobody plays. */
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

/** Which seat and string plays on which channel as it begins, and what people should know about it. */
export interface ChannelPlan {
  /** By slot. */
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
 *
 * @param seats by slot; null where nobody plays
 */
export function planChannels(seats: readonly (SeatSound | null)[], mode: Channels): ChannelPlan {
  const free = new Set(MELODIC);
  const given: (SeatChannels | undefined)[] = seats.map((seat) => (seat ? undefined : NOBODY));
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

  for (const [seat, one] of seats.entries()) {
    if (one?.kind === 'hits') give(seat, [PERCUSSION], false);
  }
  if (mode === 'string') {
    for (const seat of waiting()) {
      const block = blockFor(seats[seat]!, free);
      if (block && free.size - block.length >= soundsBut(seat)) give(seat, block, true);
    }
  }
  for (const seat of sharersLast(seats, waiting(), free.size)) {
    const strings = Math.max(1, seats[seat]!.strings);
    const [own] = free;
    const channel = own ?? bestToShare(seats[seat]!, sharable(seats, given, onChannel));
    give(seat, Array<number>(strings).fill(channel), false);
  }

  const used = [...onChannel]
    .sort(([a], [b]) => a - b)
    .map(([channel, sharers]) => usedChannel(channel, sharers, seats));
  const all = given as SeatChannels[];
  const [first, second] = all.filter(({ strings }) => strings.length > 0);
  const only = first?.apart && !second ? first.strings : null;
  const mono = only && { first: only[0]!, count: only.length };
  const plan = { seats: all, used, mono };
  return { ...plan, notes: describePlan(seats, mode, plan) };
}

/** A channel, and who plays on it now. */
export interface ChannelUse {
  readonly channel: number;
  readonly seats: readonly Pick<SeatSound, 'sound' | 'pan'>[];
  /** It is one string's alone. */
  readonly apart: boolean;
}

/**
 * The channels of a seat that joins those that play: none of theirs while one is free.
 *
 * @param used the channels on which somebody plays
 * @param before those that a seat of the same slot had, which it gets where they are still free
 */
export function joinChannels(
  seat: SeatSound,
  used: readonly ChannelUse[],
  mode: Channels,
  before: readonly number[] = [],
): SeatChannels {
  if (seat.kind === 'hits') return { strings: [PERCUSSION], apart: false };
  const taken = new Set(used.map(({ channel }) => channel));
  const free = MELODIC.filter((channel) => !taken.has(channel));
  // As it was, so that a receiver that was set up by hand for it still is.
  const first = [...before.filter((channel) => free.includes(channel)), ...free];
  const block = mode === 'string' ? blockFor(seat, new Set(free), before) : undefined;
  if (block) return { strings: block, apart: true };
  const channel = first[0] ?? bestToShare(seat, used);
  return { strings: Array<number>(Math.max(1, seat.strings)).fill(channel), apart: false };
}

const NOBODY: SeatChannels = { strings: [], apart: false };

/** What all have, or the middle: one channel comes from one place. */
export function commonPan([first = 0, ...others]: readonly number[]): number {
  return others.every((pan) => pan === first) ? first : 0;
}

function usedChannel(
  channel: number,
  sharers: readonly number[],
  seats: readonly (SeatSound | null)[],
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

/** Free channels side by side for each string of a seat: from `before` on, where it had them, or the lowest. */
function blockFor(
  { kind, strings: count }: SeatSound,
  free: ReadonlySet<number>,
  before: readonly number[] = [],
): number[] | undefined {
  // Keys have chords, which one string's channel in mode 4 has not.
  if (count < 1 || kind === 'keys') return undefined;
  for (const first of [...before.slice(0, 1), ...MELODIC]) {
    const block = Array.from({ length: count }, (_, i) => first + i);
    if (block.every((channel) => free.has(channel))) return block;
  }
  return undefined;
}

/** The seats in the order they are served: where some must share, one seat of each sound goes first. */
function sharersLast(
  seats: readonly (SeatSound | null)[],
  waiting: number[],
  free: number,
): number[] {
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

function sharable(
  seats: readonly (SeatSound | null)[],
  given: readonly (SeatChannels | undefined)[],
  onChannel: ReadonlyMap<number, readonly number[]>,
): ChannelUse[] {
  return [...onChannel].map(([channel, sharers]) => ({
    channel,
    seats: sharers.map((seat) => seats[seat]!),
    apart: given[sharers[0]!]!.apart,
  }));
}

/**
 * A channel of the same sound, else any; of those the one with the fewest seats, from the nearest place.
 * One string's own channel only where all others are such.
 */
function bestToShare({ sound, pan }: SeatSound, used: readonly ChannelUse[]): number {
  const cost = ({ seats: [first, ...others], apart }: ChannelUse): number => {
    const other = (apart ? 10_000 : 0) + (first!.sound === sound ? 0 : 1_000);
    return other + 1 + others.length + Math.abs(first!.pan - pan) / 4;
  };
  const ranked = used
    .filter(({ channel }) => channel !== PERCUSSION)
    .sort((a, b) => cost(a) - cost(b));
  return ranked[0]!.channel;
}
