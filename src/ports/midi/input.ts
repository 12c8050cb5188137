import type { NativeInput } from './native.js';
import type { MidiSystem } from './system.js';

/** Program Change, on any channel (MIDI 1.0 Detailed Specification 4.2.1, table 2). */
const PROGRAM_CHANGE = 0xc0;

/** Active Sensing, and the first of the real-time messages, which mean no pads (p. 30, 32). */
const ACTIVE_SENSING = 0xfe;
const REAL_TIME = 0xf8;

/**
 * A port that is not open yet, and passes on all that pads can send.
 *
 * @param programmed is given programs, counted from 1, which mean no pads
 * @param alive is told of each message, whatever it is, and whether it is Active Sensing
 */
export function listenTo(
  system: MidiSystem,
  heard: (bytes: Uint8Array) => void,
  programmed: (program: number) => void,
  alive: (sensing: boolean) => void,
): NativeInput {
  const input = system.native.input();
  // Nothing is left out: whatever comes shows that the board is there.
  input.ignoreTypes(false, false, false);
  input.on('messageBuffer', (_seconds, bytes) => {
    const [status = 0, program] = bytes;
    alive(status === ACTIVE_SENSING);
    if (status >= REAL_TIME) return;
    if ((status & 0xf0) === PROGRAM_CHANGE && program !== undefined) programmed(program + 1);
    else heard(bytes);
  });
  return input;
}
