import type { MidiWire } from '../instrument/types.js';
import { control14 } from './control-14.js';
import { frames } from './frames.js';
import type { AnyMidiWireCodec } from './midi-codec.js';
import { control, notes, pressure } from './seven-bit.js';

const WIRES: Readonly<Record<MidiWire, AnyMidiWireCodec>> = {
  notes,
  pressure,
  control,
  'control-14': control14,
  frames,
};

/** All ways in which raw pad states travel in MIDI messages. */
export const MIDI_WIRES = Object.keys(WIRES) as readonly MidiWire[];

export function midiWire(wire: MidiWire): AnyMidiWireCodec {
  return WIRES[wire];
}

/** Raw values on this wire go from 0 to this. */
export function fullScale(wire: MidiWire): number {
  return WIRES[wire].full;
}
