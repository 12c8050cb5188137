import type { MidiWire } from '../../instrument/types.js';
import { NEVER, type Micros } from '../../time/micros.js';
import type { AnyMidiWireCodec, Decoded, WireCounts } from '../../wire/midi-codec.js';
import { midiWire } from '../../wire/midi-wires.js';
import type { Scan } from '../../wire/scan.js';
import type { LiveClock } from '../live-clock.js';

/** The bytes of one MIDI port, as they come, made into readings. */
export interface MidiReader {
  readonly wire: MidiWire;
  /** What it could not use; undefined before the first bytes. */
  readonly counts: WireCounts | undefined;
  take(bytes: Uint8Array): void;
  /** Gives no more readings. */
  close(): void;
}

const NO_BYTES = new Uint8Array(0);

/** @param heard is given readings with the time of the wire, which is no stamp yet */
export function midiReader(
  wire: MidiWire,
  clock: LiveClock,
  heard: (scan: Scan) => void,
): MidiReader {
  const codec: AnyMidiWireCodec = midiWire(wire);
  let state: unknown = codec.begin();
  let counts: WireCounts | undefined;
  let wake: Micros = NEVER;
  let disarm: () => void = () => undefined;
  let closed = false;

  function decode(bytes: Uint8Array): void {
    const decoded = codec.decode(state, clock.now(), bytes) as Decoded<unknown>;
    state = decoded.state;
    counts = decoded.counts;
    for (const scan of decoded.scans) if (!closed) heard(scan);
    if (closed || decoded.wake === wake) return;
    disarm();
    wake = decoded.wake;
    disarm = clock.alarm(wake, () => {
      wake = NEVER;
      decode(NO_BYTES);
    });
  }

  return {
    wire,
    get counts() {
      return counts;
    },
    take: decode,
    close() {
      closed = true;
      disarm();
    },
  };
}
