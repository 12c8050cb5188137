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

/** Gives each seat its channels: none of them the tenth of sixteen, which is percussion, but for drums. */
export function giveChannels(seats: readonly SeatSound[]): SeatChannels[] {
  let next = 0;
  const take = (drums: boolean): number => {
    if (!drums && next % CHANNELS_A_PORT === DEFAULT_PERCUSSION) next++;
    return next++;
  };
  return seats.map(({ kind, strings }) => {
    const drums = kind === 'hits';
    const count = kind === 'strings' ? Math.max(1, strings) : 1;
    const channels = Array.from({ length: count }, () => take(drums));
    return { channels, mono: kind === 'strings' || kind === 'holes', drums };
  });
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
