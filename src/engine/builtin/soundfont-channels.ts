import { DEFAULT_PERCUSSION, MIDIControllers, type SpessaSynthProcessor } from 'spessasynth_core';
import type { SeatSound } from '../seat-sound.js';
import { within } from './loudness.js';

const CHANNELS_A_PORT = 16;
/** The largest value of a controller of two bytes. */
const FULL = 16_383;
const PAN_MIDDLE = 8_192;

/** One seat's channels in a SoundFont player. */
export interface SeatChannels {
  /** One for each string; a single one for all other kinds. */
  readonly channels: readonly number[];
  /** A channel plays one note at a time, which a slur can bend. */
  readonly mono: boolean;
  readonly drums: boolean;
}

/**
 * Channels beyond those of the seats that begin, for those that join: 64 seats of four strings. They cannot
 * be made while it plays (4.3.22), and cost nothing while nothing sounds on them (measured).
 */
const SPARE = 256;

/** Gives seats channels, and takes them back: none is the tenth of sixteen, which is percussion. */
export class ChannelPool {
  /** How many channels the player must have. */
  readonly size: number;
  private readonly free: number[];

  constructor(seats: readonly (SeatSound | null)[]) {
    const wanted = seats.reduce((sum, seat) => sum + (seat ? countOf(seat) : 0), 0);
    this.size = Math.ceil(((wanted + SPARE) / (CHANNELS_A_PORT - 1)) * CHANNELS_A_PORT);
    const all = Array.from({ length: this.size }, (_, channel) => channel);
    this.free = all.filter((channel) => channel % CHANNELS_A_PORT !== DEFAULT_PERCUSSION);
  }

  /** Those that have been free for longest; null where there is none. A seat for which there are too few gets fewer. */
  take(seat: SeatSound): SeatChannels | null {
    const channels = this.free.splice(0, countOf(seat));
    if (channels.length === 0) return null;
    const { kind } = seat;
    return { channels, mono: kind === 'strings' || kind === 'holes', drums: kind === 'hits' };
  }

  give({ channels }: SeatChannels): void {
    this.free.push(...channels);
  }
}

function countOf({ kind, strings }: SeatSound): number {
  return kind === 'strings' ? Math.max(1, strings) : 1;
}

/** Sends a program (or drum kit, counted from 1) for the notes that begin from now on. */
export function sendProgram(player: SpessaSynthProcessor, seat: SeatChannels, sound: number): void {
  const program = within(Math.round(sound) - 1, 0, 127);
  for (const channel of seat.channels) player.programChange(channel, program);
}

/**
 * Sends a level from 0 to 1 as controller 7 and a pan from −1 to 1 as controller 10, both of two bytes.
 * A SoundFont's gain is the square of controller 7 (SoundFont 2.04, §8.4.5: a concave curve to 960 cB).
 */
export function sendMix(
  player: SpessaSynthProcessor,
  seat: SeatChannels,
  level: number,
  pan: number,
): void {
  const volume = Math.round(FULL * Math.sqrt(within(level, 0, 1)));
  const place = Math.min(FULL, Math.round(PAN_MIDDLE * (1 + within(pan, -1, 1))));
  for (const channel of seat.channels) {
    player.controllerChange(channel, MIDIControllers.mainVolume, volume >> 7);
    player.controllerChange(channel, MIDIControllers.mainVolumeLSB, volume & 127);
    player.controllerChange(channel, MIDIControllers.pan, place >> 7);
    player.controllerChange(channel, MIDIControllers.panLSB, place & 127);
  }
}

/** Gives a seat's channels a bend range in semitones. */
export function sendBendRange(
  player: SpessaSynthProcessor,
  seat: SeatChannels,
  range: number,
): void {
  for (const channel of seat.channels) {
    player.controllerChange(channel, MIDIControllers.registeredParameterMSB, 0);
    player.controllerChange(channel, MIDIControllers.registeredParameterLSB, 0);
    player.controllerChange(channel, MIDIControllers.dataEntryMSB, range);
  }
}
