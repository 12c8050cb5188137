import type { MidiWire } from '../instrument/types.js';
import { NEVER, type Micros } from '../time/micros.js';
import type { MidiMessage } from './midi-message.js';
import {
  beginMidi,
  noFaults,
  parseMidi,
  SYSEX_MOST,
  type MidiFaults,
  type MidiParserState,
} from './midi-parser.js';
import type { Scan } from './scan.js';

/** What a wire could not use, as totals since it began. The object is the state's own: only read it. */
export interface WireCounts extends MidiFaults {
  /** Whole messages of a kind that carries no reading on this wire: a hint that `as:` is wrong. */
  foreign: number;
  /** LSBs of 14-bit pairs of which no MSB has come yet. */
  orphans: number;
  /** Frames missing between two that came (at least: the number counts modulo 128). */
  lost: number;
  /** Frames that came twice; the second was dropped. */
  repeated: number;
  /** Frames dropped for a wrong checksum, another version, or a length that cannot be. */
  checksum: number;
  version: number;
  length: number;
  /** How often the board began again while the wire stood. */
  restarts: number;
}

export interface Decoded<State> {
  readonly state: State;
  /** In the order of time. An input comes at most once in a scan; of two scans of one time the later counts. */
  readonly scans: readonly Scan[];
  readonly counts: WireCounts;
  /** When `decode` wants to be called again even if no bytes come (with none, then); else NEVER. */
  readonly wake: Micros;
}

/**
 * Bytes of one MIDI port to readings, and back. All channels are read alike: one unit a port.
 *
 * `decode` is a pure step and never throws. Its state is given away: use only the returned one.
 */
export interface MidiWireCodec<State> {
  readonly wire: MidiWire;
  /** Raw values go from 0 to this. */
  readonly full: number;
  /** Inputs go from 0 to one less than this. */
  readonly inputs: number;
  begin(): State;
  /**
   * @param t when the bytes came; never earlier than at the call before
   * @param bytes the next bytes of the stream, split anywhere, or none
   */
  decode(state: State, t: Micros, bytes: Uint8Array): Decoded<State>;
  /**
   * The messages that carry a scan, on channel 1.
   *
   * @param sent how many messages were made for this wire before; frames take their number from it
   * @throws RangeError for an input or raw value that the wire cannot carry
   */
  encode(scan: Scan, sent: number): Uint8Array[];
}

/** A codec whose state is nobody else's business. */
// eslint-disable-next-line @typescript-eslint/no-explicit-any
export type AnyMidiWireCodec = MidiWireCodec<any>;

/** The one thing in which wires differ: what a message means. */
export interface MidiReader<Own> extends Omit<MidiWireCodec<Own>, 'decode'> {
  /** Adds what `message` (no system common, no real-time) tells to `scans`, or counts what is wrong. */
  read(own: Own, t: Micros, message: MidiMessage, scans: Scan[], counts: WireCounts): void;
  /** Called after the messages of a packet: adds what has waited until now, and says when to come again. */
  settle?(own: Own, t: Micros, scans: Scan[]): Micros;
}

export interface WireState<Own> {
  parser: MidiParserState;
  readonly own: Own;
  readonly counts: WireCounts;
}

/** Puts the MIDI parser before a reader of messages. */
export function midiCodec<Own>(reader: MidiReader<Own>): MidiWireCodec<WireState<Own>> {
  return {
    wire: reader.wire,
    full: reader.full,
    inputs: reader.inputs,
    encode: (scan, sent) => reader.encode(scan, sent),
    begin() {
      const counts = noCounts();
      return { parser: beginMidi(SYSEX_MOST, counts), own: reader.begin(), counts };
    },
    decode(state, t, bytes) {
      const { own, counts } = state;
      const parsed = parseMidi(state.parser, bytes);
      state.parser = parsed.state;
      const scans: Scan[] = [];
      for (const message of parsed.messages) {
        if (message.type === 'real-time' || message.type === 'common') continue;
        reader.read(own, t, message, scans, counts);
      }
      const wake = reader.settle ? reader.settle(own, t, scans) : NEVER;
      return { state, scans, counts, wake };
    },
  };
}

function noCounts(): WireCounts {
  return {
    ...noFaults(),
    foreign: 0,
    orphans: 0,
    lost: 0,
    repeated: 0,
    checksum: 0,
    version: 0,
    length: 0,
    restarts: 0,
  };
}
