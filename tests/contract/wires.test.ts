import { describe, expect, it } from 'vitest';
import { fullScale, MIDI_WIRES, midiWire } from '../../src/wire/midi-wires.js';
import { wireContract } from './wires.js';

for (const wire of MIDI_WIRES) wireContract(midiWire(wire));

describe('the list of wires', () => {
  // 7-bit data and 14-bit pairs: MIDI 1.0 Detailed Specification 4.2.1, p. 11 to 12 (pages from memory).
  it('knows the full scale of each', () => {
    expect(Object.fromEntries(MIDI_WIRES.map((wire) => [wire, fullScale(wire)]))).toEqual({
      notes: 127,
      pressure: 127,
      control: 127,
      'control-14': 16383,
      frames: 16383,
    });
    for (const wire of MIDI_WIRES) expect(midiWire(wire).wire).toBe(wire);
  });
});
