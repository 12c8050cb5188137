import { playersOf, resettle } from './channel-moves.js';
import { commonPan, joinChannels, type ChannelPlan, type Channels } from './channels.js';
import {
  CONTROLLER,
  control,
  panOf,
  programChange,
  volumeOf,
  type MidiBytes,
} from './midi-bytes.js';
import type { SeatSound } from './seat-sound.js';
import { softer } from './softer.js';
import type { Mix, VoiceOn } from '../room/voice.js';

/** How a seat sounds now, and where its new notes go. */
export interface SeatNow {
  readonly name: string;
  level: number;
  pan: number;
  sound: number;
  /** `channels[string]`, or one channel for all. */
  channels: readonly number[];
  /** Each of its strings has one that no other string or seat plays on. */
  readonly apart: boolean;
  /** It may never leave them: its strings have one each, or it is a drum set. */
  readonly fixed: boolean;
  /** How much softer than its channel is set: a factor on the amplitude, 1 where it has its own. */
  factor: number;
}

interface Settings {
  program: number;
  volume: number;
  pan: number;
}

/** What each channel is set to, as the receiver was told last, and each seat's share in it. */
export interface ChannelMix {
  /** By slot; null where nobody plays. */
  readonly seats: (SeatNow | null)[];
  /** By slot, the channels of whoever played there last. */
  readonly past: (readonly number[])[];
  /** By channel, for those that have been in use. */
  readonly told: Map<number, Settings>;
  /** By channel, the program that its notes should have. */
  readonly programs: Map<number, number>;
}

export function beginMix(plan: ChannelPlan, seats: readonly (SeatSound | null)[]): ChannelMix {
  const mix: ChannelMix = {
    seats: seats.map((seat, i) => seat && seatNow(seat, plan.seats[i]!)),
    past: [],
    told: new Map(),
    programs: new Map(plan.used.map(({ channel, sound }) => [channel, sound])),
  };
  share(mix);
  for (const channel of mix.programs.keys()) mix.told.set(channel, settingsOf(mix, channel));
  return mix;
}

function seatNow(
  { name, kind, level, pan, sound }: SeatSound,
  { strings: channels, apart }: ChannelPlan['seats'][number],
): SeatNow {
  const fixed = apart || kind === 'hits';
  return { name, level, pan, sound, channels, apart, fixed, factor: 1 };
}

/** What a receiver must be told of every channel in use, as things are. */
export function allSettings({ told }: ChannelMix): MidiBytes[] {
  return [...told].flatMap(([channel, settings]) => messages(channel, settings, null));
}

/**
 * Takes a seat's new mix in, and answers with what the receiver must be told: nothing where it
 * knows already. Notes that sound keep the channel that they began on.
 */
export function remix(mix: ChannelMix, { seat, level, pan, sound }: Mix): MidiBytes[] {
  const now = mix.seats[seat];
  if (!now) return [];
  const sounds = sound !== now.sound;
  Object.assign(now, { level, pan, sound });
  if (sounds) resettle(mix);
  return retell(mix);
}

/**
 * A seat joins: it gets channels, and all others keep theirs. Answers with what the receiver must be
 * told before its first note.
 */
export function join(mix: ChannelMix, seat: number, sound: SeatSound, mode: Channels): MidiBytes[] {
  const used = [...mix.programs.keys()].flatMap((channel) => {
    const seats = playersOf(mix, channel);
    return seats.length > 0 ? [{ channel, seats, apart: seats.some(({ apart }) => apart) }] : [];
  });
  const channels = joinChannels(sound, used, mode, mix.past[seat]);
  for (let i = mix.seats.length; i < seat; i++) mix.seats[i] = null;
  mix.seats[seat] = seatNow(sound, channels);
  for (const channel of channels.strings) {
    if (!used.some((one) => one.channel === channel)) mix.programs.set(channel, sound.sound);
  }
  return retell(mix);
}

/** A seat leaves: its channels are free where it was alone on them. */
export function leave(mix: ChannelMix, seat: number): MidiBytes[] {
  const now = mix.seats[seat];
  if (!now) return [];
  mix.past[seat] = now.channels;
  mix.seats[seat] = null;
  return retell(mix);
}

function retell(mix: ChannelMix): MidiBytes[] {
  share(mix);
  return [...mix.programs.keys()].flatMap((channel) => {
    const before = mix.told.get(channel) ?? null;
    const after = settingsOf(mix, channel);
    mix.told.set(channel, after);
    return messages(channel, after, before);
  });
}

/** The channel on which a note begins. */
export function channelFor({ seats }: ChannelMix, { seat, string }: VoiceOn): number {
  const { channels } = seats[seat]!;
  return channels[string] ?? channels[0]!;
}

/** The velocity that gives a note its own seat's level on a channel that may be set louder. */
export function velocityFor({ seats }: ChannelMix, { seat, velocity }: VoiceOn): number {
  return softer(velocity, seats[seat]!.factor);
}

/** Whether a seat's notes have another program than it should: its channel is others' too. */
export function misfit({ seats, programs }: ChannelMix, seat: number): boolean {
  const { channels, sound } = seats[seat]!;
  return programs.get(channels[0]!) !== sound;
}

function loudest(seats: readonly SeatNow[]): number {
  return Math.max(0, ...seats.map(({ level }) => level));
}

function share(mix: ChannelMix): void {
  for (const channel of mix.programs.keys()) {
    const sharers = playersOf(mix, channel);
    const most = loudest(sharers);
    for (const one of sharers) one.factor = most > 0 ? one.level / most : 1;
  }
}

/** Of a channel that all have left, its program counts only: nothing new sounds on it. */
function settingsOf(mix: ChannelMix, channel: number): Settings {
  const sharers = playersOf(mix, channel);
  const program = mix.programs.get(channel)!;
  const before = mix.told.get(channel);
  if (sharers.length === 0 && before) return { ...before, program };
  const pan = panOf(commonPan(sharers.map((seat) => seat.pan)));
  return { program, volume: volumeOf(loudest(sharers)), pan };
}

function messages(channel: number, after: Settings, before: Settings | null): MidiBytes[] {
  const { volume, pan } = CONTROLLER;
  const out: MidiBytes[] = [];
  if (after.program !== before?.program) out.push(programChange(channel, after.program));
  if (after.volume !== before?.volume) out.push(control(channel, volume, after.volume));
  if (after.pan !== before?.pan) out.push(control(channel, pan, after.pan));
  return out;
}
