import { dataBytes, midiMessage, type MidiMessage } from './midi-message.js';

/** What the parser could not use, as totals since it began. */
export interface MidiFaults {
  /** Data bytes, and ends of SysEx, that belong to no message. */
  stray: number;
  /** Status bytes that MIDI 1.0 leaves undefined: F4, F5, F9, FD. */
  undefined: number;
  /** Messages cut short by the next one's status byte, SysEx without its F7 among them. */
  broken: number;
  /** SysEx messages dropped because they were too long. */
  oversized: number;
}

export interface MidiParserState {
  /** The status byte that data bytes now belong to: running status, or a message begun; else 0. */
  status: number;
  /** How many data bytes the message begun still needs; 0 between messages. */
  missing: number;
  data1: number;
  /** Bytes of a SysEx so far, and how many (more than fit: it is being dropped); −1 outside one. */
  readonly sysex: Uint8Array;
  length: number;
  readonly faults: MidiFaults;
}

/** The longest SysEx taken by default, in bytes between F0 and F7: twice the longest frame. */
export const SYSEX_MOST = 512;

export function noFaults(): MidiFaults {
  return { stray: 0, undefined: 0, broken: 0, oversized: 0 };
}

/**
 * @param sysexMost the longest SysEx taken, in bytes between F0 and F7
 * @param faults where to count them
 */
export function beginMidi(sysexMost = SYSEX_MOST, faults = noFaults()): MidiParserState {
  return {
    status: 0,
    missing: 0,
    data1: 0,
    sysex: new Uint8Array(sysexMost),
    length: -1,
    faults,
  };
}

/**
 * Reads the next bytes of a MIDI 1.0 stream, split anywhere. It never throws.
 *
 * Running status holds for voice and mode messages only; system common ends it, real-time bytes may
 * stand between any two bytes and disturb nothing (MIDI 1.0 Detailed Specification 4.2.1, p. 5, 30).
 * A SysEx that another status byte ends is dropped: bytes of it have most likely been lost.
 *
 * @param state given away: only the returned one may be used afterwards
 */
export function parseMidi(
  state: MidiParserState,
  bytes: Uint8Array,
): { state: MidiParserState; messages: MidiMessage[] } {
  const messages: MidiMessage[] = [];
  for (let i = 0; i < bytes.length; i++) {
    const byte = bytes[i]!;
    if (byte < 0x80) takeData(state, byte, messages);
    else if (byte < 0xf8) takeStatus(state, byte, messages);
    else if (byte === 0xf9 || byte === 0xfd) state.faults.undefined++;
    else messages.push({ type: 'real-time', status: byte });
  }
  return { state, messages };
}

function takeData(state: MidiParserState, byte: number, messages: MidiMessage[]): void {
  if (state.length >= 0) {
    if (state.length < state.sysex.length) state.sysex[state.length] = byte;
    if (state.length <= state.sysex.length) state.length++;
    return;
  }
  if (state.status === 0) {
    state.faults.stray++;
    return;
  }
  const needed = dataBytes(state.status);
  if (state.missing === 0) state.missing = needed;
  if (--state.missing > 0) {
    state.data1 = byte;
    return;
  }
  messages.push(
    needed === 2
      ? midiMessage(state.status, state.data1, byte)
      : midiMessage(state.status, byte, 0),
  );
  if (state.status >= 0xf0) state.status = 0;
}

function takeStatus(state: MidiParserState, byte: number, messages: MidiMessage[]): void {
  if (byte === 0xf7) {
    endSysex(state, messages);
    return;
  }
  if (state.length >= 0 || state.missing > 0) state.faults.broken++;
  state.length = -1;
  state.status = 0;
  state.missing = 0;
  if (byte === 0xf0) {
    state.length = 0;
  } else if (byte === 0xf4 || byte === 0xf5) {
    state.faults.undefined++;
  } else if (byte === 0xf6) {
    messages.push(midiMessage(byte, 0, 0));
  } else {
    state.status = byte;
    state.missing = dataBytes(byte);
  }
}

function endSysex(state: MidiParserState, messages: MidiMessage[]): void {
  if (state.length < 0) {
    if (state.missing > 0) state.faults.broken++;
    state.faults.stray++;
  } else if (state.length > state.sysex.length) {
    state.faults.oversized++;
  } else {
    messages.push({ type: 'sysex', data: state.sysex.slice(0, state.length) });
  }
  state.length = -1;
  state.status = 0;
  state.missing = 0;
}
