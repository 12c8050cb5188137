import type { MidiCeiling } from '../instrument/ceiling.js';
import { CONTROLLER, type MidiBytes } from './midi-bytes.js';

/** Everything may be sent as it is. */
export const OPEN_MIDI: MidiCeiling = { velocity: 127, volume: 127 };

/**
 * A message with nothing in it louder than the ceiling. Harder Note Ons get the ceiling's velocity;
 * controller 7 is scaled instead, so that seats keep their balance. All others stay as they are.
 */
export function underCeiling(bytes: MidiBytes, { velocity, volume }: MidiCeiling): MidiBytes {
  const [status = 0, first = 0, second = 0] = bytes;
  switch (status & 0xf0) {
    case 0x90:
      return second > velocity ? [status, first, velocity] : bytes;
    case 0xb0:
      if (first !== CONTROLLER.volume || volume === 127) return bytes;
      return [status, first, Math.round((second * volume) / 127)];
    default:
      return bytes;
  }
}
