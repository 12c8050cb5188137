import { expect } from 'vitest';
import { planChannels } from '../../src/engine/channels.js';
import { midiEncoder, type MidiOut, type MidiState } from '../../src/engine/midi.js';
import { engineContract, type Heard } from '../contract/engines.js';

/** Reads one message by MIDI 1.0's own tables, and throws where it is not a whole legal message. */
function receive({ bytes }: MidiOut): Heard[] {
  const [status, ...data] = bytes;
  expect(data).toHaveLength(status! >> 4 === 12 ? 1 : 2);
  for (const byte of data) expect(Number.isInteger(byte) && byte >= 0 && byte <= 127).toBe(true);
  const [first, second] = data as [number, number];
  const sound = `${String(status! & 15)}:${String(first)}`;
  switch (status! >> 4) {
    case 8:
      return [{ kind: 'off', sound }];
    case 9:
      expect(second).toBeGreaterThan(0);
      return [{ kind: 'on', sound }];
    case 11:
      // 125 and 127: out of mode 4 where a second seat joins.
      expect([7, 10, 120, 123, 125, 127]).toContain(first);
      return first === 120 ? [{ kind: 'silence' }] : [];
    case 12:
      return [];
    default:
      throw new Error(`not a message an engine should be sent: ${bytes.join(' ')}`);
  }
}

for (const channels of ['seat', 'string'] as const) {
  // A receiver takes the retrigger off as an end: the suite then sees off and on of one sound.
  engineContract(`MIDI, one channel a ${channels}`, {
    encoder: (seats) => midiEncoder({ seats, channels }),
    receive,
    soundOf: ({ seat, string, note }, seats, state) => {
      const strings = state
        ? (state as MidiState).mix.seats[seat]!.channels
        : planChannels(seats, channels).seats[seat]!.strings;
      return `${String(strings[string] ?? strings[0]!)}:${String(note)}`;
    },
  });
}
