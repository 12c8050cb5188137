import type { MidiWire } from '../instrument/types.js';
import { midiCodec } from './midi-codec.js';
import type { MidiMessage } from './midi-message.js';
import { addReading, eachReading } from './readings.js';

type SevenBitWire = Extract<MidiWire, 'notes' | 'pressure' | 'control'>;

/** A wire on which one message is one reading of 7 bits, and nothing needs to be remembered. */
function sevenBit(
  wire: SevenBitWire,
  inputs: number,
  bytesOf: (input: number, raw: number) => number[],
  readingOf: (message: MidiMessage) => readonly [input: number, raw: number] | undefined,
) {
  const full = 127;
  return midiCodec<null>({
    wire,
    full,
    inputs,
    begin: () => null,
    encode: (scan) =>
      eachReading(scan, inputs, full, (input, raw) => Uint8Array.from(bytesOf(input, raw))),
    read(_own, t, message, scans, counts) {
      const reading = readingOf(message);
      if (reading) addReading(scans, t, reading[0], reading[1]);
      else counts.foreign++;
    },
  });
}

/** Input: note number. Raw: velocity, and 0 at the Note Off, whatever its velocity. */
export const notes = sevenBit(
  'notes',
  128,
  // 64 is the velocity of senders that do not measure it (MIDI 1.0 Detailed Specification 4.2.1, p. 10).
  (input, raw) => (raw > 0 ? [0x90, input, raw] : [0x80, input, 64]),
  (message) => {
    if (message.type === 'note-on') return [message.note, message.velocity];
    return message.type === 'note-off' ? [message.note, 0] : undefined;
  },
);

/** Polyphonic key pressure. Input: note number. Raw: pressure. */
export const pressure = sevenBit(
  'pressure',
  128,
  (input, raw) => [0xa0, input, raw],
  (message) => (message.type === 'key-pressure' ? [message.note, message.pressure] : undefined),
);

/** Input: controller number, 0 to 119; 120 and above are channel mode messages and no readings. */
export const control = sevenBit(
  'control',
  120,
  (input, raw) => [0xb0, input, raw],
  (message) => (message.type === 'control' ? [message.controller, message.value] : undefined),
);
