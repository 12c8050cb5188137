/**
 * A whole MIDI 1.0 message. Channels are numbered from 0 to 15, all data from 0 to 127, a bend from
 * 0 to 16383 with its centre at 8192.
 */
export type MidiMessage =
  /** `velocity` is 1 to 127: a Note On with velocity 0 is given as a Note Off. */
  | { type: 'note-on'; channel: number; note: number; velocity: number }
  | { type: 'note-off'; channel: number; note: number; velocity: number }
  | { type: 'key-pressure'; channel: number; note: number; pressure: number }
  /** `controller` is 0 to 119. */
  | { type: 'control'; channel: number; controller: number; value: number }
  /** Channel mode: `mode` is 120 to 127. */
  | { type: 'mode'; channel: number; mode: number; value: number }
  | { type: 'program'; channel: number; program: number }
  | { type: 'channel-pressure'; channel: number; pressure: number }
  | { type: 'bend'; channel: number; bend: number }
  /** `data` is what stands between F0 and F7, its own copy. */
  | { type: 'sysex'; data: Uint8Array }
  /** System common, F1, F2, F3 or F6; data bytes that the message has not are 0. */
  | { type: 'common'; status: number; data1: number; data2: number }
  /** F8, FA, FB, FC, FE or FF. */
  | { type: 'real-time'; status: number };

/** How many data bytes follow a status byte below F0, or one of F1 to F6 that is defined. */
export function dataBytes(status: number): number {
  if (status < 0xf0) return (status & 0xe0) === 0xc0 ? 1 : 2;
  return status === 0xf2 ? 2 : status === 0xf1 || status === 0xf3 ? 1 : 0;
}

/** Makes a message of a status byte below F7 (not F0) and its data. */
export function midiMessage(status: number, data1: number, data2: number): MidiMessage {
  const channel = status & 0x0f;
  switch (status & 0xf0) {
    case 0x80:
      return { type: 'note-off', channel, note: data1, velocity: data2 };
    case 0x90:
      return data2 === 0
        ? { type: 'note-off', channel, note: data1, velocity: 0 }
        : { type: 'note-on', channel, note: data1, velocity: data2 };
    case 0xa0:
      return { type: 'key-pressure', channel, note: data1, pressure: data2 };
    case 0xb0:
      return data1 >= 120
        ? { type: 'mode', channel, mode: data1, value: data2 }
        : { type: 'control', channel, controller: data1, value: data2 };
    case 0xc0:
      return { type: 'program', channel, program: data1 };
    case 0xd0:
      return { type: 'channel-pressure', channel, pressure: data1 };
    case 0xe0:
      return { type: 'bend', channel, bend: data1 | (data2 << 7) };
    default:
      return { type: 'common', status, data1, data2 };
  }
}
