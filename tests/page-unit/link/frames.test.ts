import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { decodeHistory, encodeHistory } from '../../../src/page/link/history-frame.js';
import { decodeLevels, emptyLevels, encodeLevels } from '../../../src/page/link/levels-frame.js';
import { decodeVoices, encodeVoices } from '../../../src/page/link/voices-frame.js';

// Expected bytes are put together here with Node's Buffer from the table in src/page/link/frames.ts.

const hex = (bytes: Uint8Array): string => Buffer.from(bytes).toString('hex');

/** Some bytes in the middle of others, as a network library hands them over. */
function pooled(bytes: Uint8Array): Uint8Array {
  const pool = new Uint8Array(bytes.length + 7).fill(0xee);
  pool.set(bytes, 3);
  return pool.subarray(3, 3 + bytes.length);
}

describe('a levels frame', () => {
  const sizes = [
    { pads: 9, strings: 2 },
    { pads: 1, strings: 1 },
  ];

  it('is laid out as its table says', () => {
    const levels = emptyLevels(sizes);
    Object.assign(levels, { frame: 0x1_0203, t: 1.5 });
    const [a, b] = levels.seats;
    a!.pads.set([0, 1, 2, 3, 4, 5, 200, 254, 255]);
    a!.touched.set([1, 0, 0, 0, 0, 0, 1, 0, 1]);
    a!.notes.set([33, 255]);
    a!.strengths.set([128, 0]);
    a!.begun = 250;
    b!.pads[0] = 77;
    b!.notes[0] = 60;
    b!.strengths[0] = 255;
    const t = Buffer.alloc(8);
    t.writeDoubleLE(1.5);
    expect(hex(encodeLevels(levels))).toBe(
      ['0100', '0302', t.toString('hex')].join('') +
        ['000102030405c8feff', '4101', '2180', 'ff00', 'fa'].join('') +
        ['4d', '00', '3cff', '00'].join(''),
    );
  });

  it('is read as it was written, wherever it lies in memory', () => {
    const byte = fc.integer({ min: 0, max: 255 });
    const seat = fc.record({ pads: fc.array(byte, { maxLength: 30 }), strings: fc.array(byte) });
    fc.assert(
      fc.property(fc.array(seat, { maxLength: 5 }), fc.double({ noNaN: true }), (seats, t) => {
        const of = seats.map(({ pads, strings }) => ({
          pads: pads.length,
          strings: strings.length,
        }));
        const sent = emptyLevels(of);
        sent.frame = 1;
        sent.t = t;
        seats.forEach(({ pads, strings }, i) => {
          const one = sent.seats[i]!;
          one.pads.set(pads);
          one.touched.set(pads.map((level) => level & 1));
          one.notes.set(strings);
          one.strengths.set(strings.map((value) => 255 - value));
          one.begun = strings[0] ?? 0;
        });
        const read = emptyLevels(of);
        expect(decodeLevels(pooled(encodeLevels(sent)), read)).toBe(true);
        expect(read).toEqual(sent);
      }),
    );
  });

  it('counts on over the turn of its sequence, and counts those that were left out', () => {
    const sent = emptyLevels(sizes);
    const read = emptyLevels(sizes);
    for (const frame of [1, 2, 65_535, 65_536, 65_540, 131_071, 131_073]) {
      sent.frame = frame;
      expect(decodeLevels(encodeLevels(sent), read)).toBe(true);
      expect(read.frame).toBe(frame);
    }
  });

  it('of other seats, cut off or of another kind is refused and changes nothing', () => {
    const read = emptyLevels(sizes);
    const sent = emptyLevels(sizes);
    sent.t = 5;
    const bytes = encodeLevels(sent);
    const other = encodeLevels(emptyLevels(sizes.slice(1)));
    const history = Uint8Array.from(bytes);
    history[0] = 2;
    for (const wrong of [
      bytes.subarray(1),
      bytes.subarray(0, -1),
      other,
      history,
      bytes.subarray(0, 0),
    ]) {
      expect(decodeLevels(wrong, read)).toBe(false);
    }
    expect(read).toEqual(emptyLevels(sizes));
  });
});

describe('a history frame', () => {
  const rows = {
    seat: 3,
    lost: 70_000,
    on: Float32Array.of(0.5, 0.25),
    off: Float32Array.of(0.25, 0.125),
    times: Float64Array.of(1_000, 2_000.5),
    levels: Float32Array.of(0, 1, -0.5, 2),
  };

  it('is laid out as its table says', () => {
    const bytes = Buffer.alloc(8 + 16 + 2 * 16);
    bytes.set([2, 3]);
    bytes.writeUInt16LE(2, 2);
    bytes.writeUInt32LE(70_000, 4);
    [0.5, 0.25, 0.25, 0.125].forEach((level, i) => bytes.writeFloatLE(level, 8 + 4 * i));
    bytes.writeDoubleLE(1_000, 24);
    bytes.writeFloatLE(0, 32);
    bytes.writeFloatLE(1, 36);
    bytes.writeDoubleLE(2_000.5, 40);
    bytes.writeFloatLE(-0.5, 48);
    bytes.writeFloatLE(2, 52);
    expect(hex(encodeHistory(rows))).toBe(bytes.toString('hex'));
  });

  it('is read as it was written, also without rows', () => {
    expect(decodeHistory(pooled(encodeHistory(rows)), () => 2)).toEqual(rows);
    const none = { ...rows, times: new Float64Array(), levels: new Float32Array() };
    expect(decodeHistory(encodeHistory(none), () => 2)).toEqual(none);
  });

  it('of a seat that is not there, with other pads or cut off is refused', () => {
    const bytes = encodeHistory(rows);
    expect(decodeHistory(bytes, () => undefined)).toBeNull();
    expect(decodeHistory(bytes, () => 3)).toBeNull();
    expect(decodeHistory(bytes.subarray(0, -1), () => 2)).toBeNull();
    expect(decodeHistory(bytes.subarray(0, 7), () => 2)).toBeNull();
    expect(decodeHistory(encodeLevels(emptyLevels([])), () => 0)).toBeNull();
  });
});

describe('a voices frame', () => {
  const frame = { lost: true, now: 123_456.5, count: 2, records: Uint8Array.of(1, 2, 3, 4, 5, 6) };

  it('is laid out as its table says', () => {
    const bytes = Buffer.alloc(22);
    bytes.set([3, 1, 2, 0, 0, 0, 0, 0]);
    bytes.writeDoubleLE(123_456.5, 8);
    bytes.set([1, 2, 3, 4, 5, 6], 16);
    expect(hex(encodeVoices(frame))).toBe(bytes.toString('hex'));
  });

  it('is read as it was written', () => {
    expect(decodeVoices(pooled(encodeVoices(frame)), 3)).toEqual(frame);
    const none = { lost: false, now: 0, count: 0, records: new Uint8Array() };
    expect(decodeVoices(encodeVoices(none), 3)).toEqual(none);
  });

  it('of records of another size, cut off or of another kind is refused', () => {
    const bytes = encodeVoices(frame);
    expect(decodeVoices(bytes, 4)).toBeNull();
    expect(decodeVoices(bytes.subarray(0, 15), 3)).toBeNull();
    expect(decodeVoices(encodeLevels(emptyLevels([])), 1)).toBeNull();
  });
});
