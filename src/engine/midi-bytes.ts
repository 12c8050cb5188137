/**
 * The few MIDI 1.0 messages an engine is sent (Detailed Specification 4.2.1, tables I to III).
 * Channels count from 0 here and from 1 wherever a person reads them; data bytes are 0 to 127.
 */
export type MidiBytes = readonly number[];

/** Channel 10, which General MIDI keeps for percussion. */
export const PERCUSSION = 9;

/** Mode messages and controllers, by the names the specification gives them. */
export const CONTROLLER = {
  volume: 7,
  pan: 10,
  allSoundOff: 120,
  resetAll: 121,
  allNotesOff: 123,
  omniOff: 124,
  omniOn: 125,
  mono: 126,
  poly: 127,
} as const;

/** The velocity of a sender whose keys do not measure how they are released (p10). */
const RELEASE = 64;

export function noteOn(channel: number, note: number, velocity: number): MidiBytes {
  return [0x90 | channel, note, velocity];
}

export function noteOff(channel: number, note: number): MidiBytes {
  return [0x80 | channel, note, RELEASE];
}

export function control(channel: number, controller: number, value: number): MidiBytes {
  return [0xb0 | channel, controller, value];
}

/** @param program General MIDI program, counted from 1 */
export function programChange(channel: number, program: number): MidiBytes {
  return [0xc0 | channel, program - 1];
}

/**
 * The controller 7 value for a level, from amplitude = (value / 127)², which is General MIDI's
 * recommended 40·log10(value / 127) dB (from memory; FluidSynth was heard to follow it).
 *
 * @param level 0 to 1, an amplitude
 * @returns 0 to 127
 */
export function volumeOf(level: number): number {
  return Math.round(127 * Math.sqrt(level));
}

/**
 * The controller 10 value for a place between left and right: 0 is hard left, 64 the middle, 127 hard
 * right (Detailed Specification 4.2.1, controller 10: from memory).
 *
 * @param pan −1, left, to 1, right
 * @returns 0 to 127
 */
export function panOf(pan: number): number {
  return Math.round(64 + (pan < 0 ? 64 : 63) * pan);
}
