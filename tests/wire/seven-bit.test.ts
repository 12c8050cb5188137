import { describe, expect, it } from 'vitest';
import { midiWire } from '../../src/wire/midi-wires.js';
import { decodeAll, readingsOf } from '../contract/wires.js';

// "Spec" is the MIDI 1.0 Detailed Specification 4.2.1, with its printed pages.

function decode(wire: 'notes' | 'pressure' | 'control', ...bytes: number[]) {
  const { scans, counts } = decodeAll(midiWire(wire), [[5000, Uint8Array.from(bytes)]]);
  return { readings: readingsOf(scans), scans: scans.length, foreign: counts.foreign };
}

describe('notes', () => {
  it('reads velocity as raw, and 0 at both kinds of Note Off (spec p. 10)', () => {
    expect(decode('notes', 0x90, 3, 100, 4, 1, 4, 0, 0x80, 3, 64).readings).toEqual([
      [5000, 3, 100],
      [5000, 4, 1],
      [5000, 4, 0],
      [5000, 3, 0],
    ]);
  });

  it('puts all of one packet into one scan until an input comes again', () => {
    expect(decode('notes', 0x90, 3, 100, 4, 1, 5, 7).scans).toBe(1);
    expect(decode('notes', 0x90, 3, 100, 4, 1, 3, 0).scans).toBe(2);
  });

  it('reads all channels alike', () => {
    expect(decode('notes', 0x9f, 3, 100, 0x80, 3, 0).readings).toEqual([
      [5000, 3, 100],
      [5000, 3, 0],
    ]);
  });

  it('sends a lift as Note Off with velocity 64, as who does not measure it (spec p. 10)', () => {
    const scan = { type: 'scan', t: 0, inputs: [3, 4], raws: [0, 9] } as const;
    expect(midiWire('notes').encode(scan, 0)).toEqual([
      Uint8Array.of(0x80, 3, 64),
      Uint8Array.of(0x90, 4, 9),
    ]);
  });
});

describe('pressure', () => {
  it('reads polyphonic key pressure, and counts channel pressure as foreign', () => {
    expect(decode('pressure', 0xa0, 19, 127, 18, 0, 0xd0, 5)).toEqual({
      readings: [
        [5000, 19, 127],
        [5000, 18, 0],
      ],
      scans: 1,
      foreign: 1,
    });
  });
});

describe('control', () => {
  it('takes controllers 0 to 119, and never a channel mode message (spec p. 24)', () => {
    const modes = [120, 121, 122, 123, 124, 125, 126, 127].flatMap((mode) => [mode, 127]);
    expect(decode('control', 0xb0, 0, 1, 119, 2, ...modes)).toEqual({
      readings: [
        [5000, 0, 1],
        [5000, 119, 2],
      ],
      scans: 1,
      foreign: 8,
    });
  });
});

it('counts what another wire would read, so that a wrong `as:` shows', () => {
  expect(decode('control', 0x90, 3, 100, 0xa0, 3, 1, 0xf0, 1, 0xf7)).toEqual({
    readings: [],
    scans: 0,
    foreign: 3,
  });
  // Clock, active sensing and system common say nothing of pads, nor of a mistake.
  expect(decode('control', 0xf8, 0xfe, 0xf1, 5, 0xf6).foreign).toBe(0);
});
