import type { NativeInput } from './midi-native.js';
import type { MidiSystem } from './midi-system.js';

/** A port that is not open yet, and hands on all that pads can send. */
export function listenTo(system: MidiSystem, heard: (bytes: Uint8Array) => void): NativeInput {
  const input = system.native.input();
  input.ignoreTypes(false, true, true);
  input.on('messageBuffer', (_seconds, bytes) => {
    heard(bytes);
  });
  return input;
}
