import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { PAIR_WITHIN } from '../../src/wire/control-14.js';
import { midiWire } from '../../src/wire/midi-wires.js';
import { decodeAll, readingsOf, type Reading } from '../contract/wires.js';

// Controllers 0 to 31 are MSBs, 32 to 63 their LSBs; receiving an MSB resets the LSB to 0, and
// either may be sent alone: MIDI 1.0 Detailed Specification 4.2.1, p. 12.

const codec = midiWire('control-14');

/** Control changes on channel 1, each a packet of its own: time, controller, value. */
function decode(...changes: [t: number, controller: number, value: number][]) {
  const packets = changes.map(
    ([t, controller, value]) => [t, Uint8Array.of(0xb0, controller, value)] as const,
  );
  const { scans, counts } = decodeAll(codec, packets);
  return { readings: readingsOf(scans), counts };
}

/** Teaches the codec that this sender sends LSBs. */
const PAIR: [number, number, number][] = [
  [0, 31, 0],
  [0, 63, 0],
];
const AFTER_PAIR: Reading = [0, 31, 0];

describe('pairs', () => {
  it('makes one reading at the LSB', () => {
    expect(decode([1000, 2, 3], [1960, 34, 5]).readings).toEqual([[1960, 2, (3 << 7) | 5]]);
  });

  it('never shows a value that was not sent, in either order of the messages of a scan', () => {
    // Falling by one from 384 to 383 would dip to 256 if MSBs were read at once.
    const reading = fc.tuple(fc.nat(31), fc.nat(16383));
    const scan = fc.uniqueArray(reading, {
      selector: ([input]) => input,
      minLength: 1,
      maxLength: 8,
    });
    const scans = fc.array(scan, { minLength: 1, maxLength: 8 });
    fc.assert(
      fc.property(scans, fc.nat(PAIR_WITHIN - 1), fc.boolean(), (values, between, msbsFirst) => {
        const wanted: Reading[] = [];
        const changes = values.flatMap((readings, i) => {
          let t = i * 1_000_000;
          const pairs = readings.map(([input, raw]): [number, number, number][] => {
            if (!msbsFirst) t += between;
            const end = t + between;
            wanted.push([end, input, raw]);
            return [
              [t, input, raw >> 7],
              [end, input + 32, raw & 0x7f],
            ];
          });
          return msbsFirst
            ? [...pairs.map(([msb]) => msb!), ...pairs.map(([, lsb]) => lsb!)]
            : pairs.flat();
        });
        expect(decode(...changes).readings).toEqual(wanted);
      }),
    );
  });

  it('takes all MSBs of a scan before all LSBs', () => {
    const { readings } = decode([0, 0, 10], [0, 1, 20], [0, 32, 1], [0, 33, 2]);
    expect(readings).toEqual([
      [0, 0, (10 << 7) | 1],
      [0, 1, (20 << 7) | 2],
    ]);
  });

  it('takes an LSB alone as a fine change of the last MSB', () => {
    const { readings } = decode([0, 0, 10], [0, 32, 1], [9000, 32, 99]);
    expect(readings).toEqual([
      [0, 0, (10 << 7) | 1],
      [9000, 0, (10 << 7) | 99],
    ]);
  });

  it('counts an LSB whose MSB never came', () => {
    const { readings, counts } = decode([0, 40, 1]);
    expect(readings).toEqual([]);
    expect(counts.orphans).toBe(1);
  });
});

describe('an MSB alone means LSB 0', () => {
  it('from a sender of LSBs: after the wait', () => {
    const { readings } = decode(...PAIR, [1000, 0, 10]);
    expect(readings).toEqual([AFTER_PAIR, [1000 + PAIR_WITHIN, 0, 10 << 7]]);
  });

  it('from a sender of LSBs: or when the next one comes', () => {
    const { readings } = decode(...PAIR, [1000, 0, 10], [5000, 0, 11], [5000, 32, 3]);
    expect(readings).toEqual([AFTER_PAIR, [5000, 0, 10 << 7], [5000, 0, (11 << 7) | 3]]);
  });

  it('from a sender without LSBs: at once, as soon as one came twice', () => {
    const { readings } = decode([0, 0, 10], [4000, 0, 11], [8000, 0, 12], [8000, 1, 1]);
    expect(readings).toEqual([
      [4000, 0, 10 << 7],
      [4000, 0, 11 << 7],
      [8000, 0, 12 << 7],
      [8000, 1, 1 << 7],
    ]);
  });

  it('from a sender without LSBs: the very first after the wait, those after it at once', () => {
    const { readings } = decode([0, 0, 10], [50_000, 1, 11]);
    expect(readings).toEqual([
      [PAIR_WITHIN, 0, 10 << 7],
      [50_000, 1, 11 << 7],
    ]);
  });

  it('and a sender that begins to send LSBs is believed from then on', () => {
    const { readings } = decode(
      [0, 0, 10],
      [50_000, 0, 11],
      [50_000, 32, 5],
      [60_000, 0, 12],
      [60_500, 32, 6],
    );
    expect(readings.slice(-2)).toEqual([
      [50_000, 0, (11 << 7) | 5],
      [60_500, 0, (12 << 7) | 6],
    ]);
  });
});

it('takes no controller above 63', () => {
  const { readings, counts } = decode([0, 64, 127], [0, 119, 1], [0, 123, 0]);
  expect(readings).toEqual([]);
  expect(counts.foreign).toBe(3);
});
