import type { NativeInput } from './midi-native.js';
import type { MidiSystem } from './midi-system.js';

/** Program Change, on any channel (MIDI 1.0 Detailed Specification 4.2.1, table 2). */
const PROGRAM_CHANGE = 0xc0;

/**
 * A port that is not open yet, and hands on all that pads can send.
 *
 * @param programmed is given programs, counted from 1, which mean no pads
 */
export function listenTo(
  system: MidiSystem,
  heard: (bytes: Uint8Array) => void,
  programmed: (program: number) => void,
): NativeInput {
  const input = system.native.input();
  input.ignoreTypes(false, true, true);
  input.on('messageBuffer', (_seconds, bytes) => {
    const [status = 0, program] = bytes;
    if ((status & 0xf0) === PROGRAM_CHANGE && program !== undefined) programmed(program + 1);
    else heard(bytes);
  });
  return input;
}
