import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { crc7 } from '../../src/wire/crc7.js';
import { readFrame, writeFrame, type Frame } from '../../src/wire/frame.js';
import { midiWire } from '../../src/wire/midi-wires.js';
import { decodeAll, join, readingsOf } from '../contract/wires.js';

const codec = midiWire('frames');
const BOARD_PERIOD = 4000;

const frame = (sequence: number, time: number, raws: readonly number[] = [7]): Frame => ({
  sequence,
  time,
  first: 0,
  raws,
});
const inside = (message: Uint8Array) => message.subarray(1, -1);

/** Frames that each come `late` after the board made them, the host's clock being 5 s ahead. */
function decode(...frames: (Frame & { late?: number })[]) {
  const packets = frames.map((f) => [5_000_000 + f.time + (f.late ?? 0), writeFrame(f)] as const);
  const { scans, counts } = decodeAll(codec, packets);
  return { times: scans.map((scan) => scan.t - 5_000_000), readings: readingsOf(scans), counts };
}

describe('the check', () => {
  it('is the CRC-7/MMC of the catalogues and of SD card commands', () => {
    // "123456789" gives 75 (check value of the catalogue of parametrised CRC algorithms, from memory).
    expect(crc7(new TextEncoder().encode('123456789'))).toBe(0x75);
    // CMD0 and CMD17 with argument 0 end in 95 and 55, the CRC-7 and a 1 bit (SD physical layer
    // specification, section 4.5, from memory).
    expect(crc7(Uint8Array.of(0x40, 0, 0, 0, 0))).toBe(0x95 >> 1);
    expect(crc7(Uint8Array.of(0x51, 0, 0, 0, 0))).toBe(0x55 >> 1);
  });

  it('finds any one wrong bit of a frame, and a dropped pair of zero bytes', () => {
    const message = inside(writeFrame(frame(5, 123_456_789, [0, 0, 0, 16383, 1, 0, 0])));
    for (let at = 2; at < message.length; at++) {
      for (let bit = 0; bit < 7; bit++) {
        const wrong = message.slice();
        wrong[at]! ^= 1 << bit;
        expect(typeof readFrame(wrong), `byte ${String(at)}, bit ${String(bit)}`).toBe('string');
      }
    }
    const dropped = Uint8Array.from([...message.subarray(0, 9), ...message.subarray(11)]);
    expect(readFrame(dropped)).toBe('checksum');
  });
});

describe('a frame', () => {
  it('is laid out as its description says', () => {
    const message = writeFrame({ sequence: 3, time: 2 ** 28 - 2, first: 16, raws: [130, 16383] });
    const hex = Buffer.from(message).toString('hex');
    expect(hex).toMatch(/^f07d7001037f7f7f7e1001027f7f..f7$/);
  });

  it('is given back by reading what was written', () => {
    const any = fc.record({
      sequence: fc.nat(127),
      time: fc.nat(2 ** 28 - 1),
      first: fc.nat(100),
      raws: fc.array(fc.nat(16383), { maxLength: 28 }),
    });
    fc.assert(
      fc.property(any, (made) => {
        const message = writeFrame(made);
        expect(readFrame(inside(message))).toEqual(made);
        expect([...inside(message)].every((byte) => byte < 128)).toBe(true);
      }),
    );
  });

  it('carries 128 inputs within the bound on SysEx', () => {
    const raws = Array.from({ length: 128 }, (_, i) => i * 100);
    expect(decode(frame(0, 0, raws)).readings).toHaveLength(128);
  });
});

describe('frames dropped and counted', () => {
  const good = inside(writeFrame(frame(1, 0, [100, 200])));
  const resealed = (bytes: number[]) => Uint8Array.from([...bytes, crc7(Uint8Array.from(bytes))]);
  const cases: [string, Uint8Array, 'foreign' | 'version' | 'length' | 'checksum'][] = [
    ['another maker', resealed([0x41, ...good.slice(1, -1)]), 'foreign'],
    [
      'another message under the schools and research ID',
      resealed([0x7d, 1, ...good.slice(2, -1)]),
      'foreign',
    ],
    ['an empty SysEx', Uint8Array.of(), 'foreign'],
    ['another version', resealed([0x7d, 0x70, 2, ...good.slice(3, -1)]), 'version'],
    ['half a level', resealed([...good.slice(0, -2)]), 'length'],
    ['no room for its head', resealed([...good.slice(0, 7)]), 'length'],
    ['inputs beyond 127', resealed([...good.slice(0, 8), 127, ...good.slice(9, -1)]), 'length'],
    [
      'a wrong check',
      Uint8Array.from([...good.slice(0, -1), good[good.length - 1]! ^ 1]),
      'checksum',
    ],
  ];

  it.each(cases)('%s', (_, data, count) => {
    expect(readFrame(data)).toBe(count);
    const { scans, counts } = decodeAll(codec, [[0, Uint8Array.of(0xf0, ...data, 0xf7)]]);
    expect(scans).toEqual([]);
    expect(Object.entries(counts).filter(([, n]) => n > 0)).toEqual([[count, 1]]);
  });

  it('a frame that comes twice', () => {
    const { readings, counts } = decode(frame(9, 0), frame(9, 0), frame(10, 4000));
    expect(readings).toHaveLength(2);
    expect(counts).toMatchObject({ repeated: 1, lost: 0 });
  });

  it('frames that did not come, over the turn of the sequence too', () => {
    const { counts } = decode(frame(125, 0), frame(126, 4000), frame(2, 20_000), frame(3, 24_000));
    // 127, 0 and 1 are missing.
    expect(counts).toMatchObject({ lost: 3, restarts: 0 });
  });
});

describe('the time of a scan', () => {
  it('is the board’s, however late the message came', () => {
    const { times } = decode(
      frame(0, 0),
      { ...frame(1, 4000), late: 900 },
      { ...frame(2, 8000), late: 3100 },
      frame(3, 12_000),
    );
    expect(times).toEqual([0, 4000, 8000, 12_000]);
  });

  it('goes on over the wrap of the board’s 28 bits', () => {
    const start = 2 ** 28 - 2 * BOARD_PERIOD;
    const packets = [0, 1, 2, 3].map((i) => {
      const t = i * BOARD_PERIOD;
      return [t, writeFrame(frame(i, start + t))] as const;
    });
    const { scans, counts } = decodeAll(codec, packets);
    expect(scans.map((scan) => scan.t)).toEqual([0, 4000, 8000, 12_000]);
    expect(counts).toMatchObject({ lost: 0, restarts: 0 });
  });

  it('begins again with a board that begins again, and counts no frames as lost for it', () => {
    const { scans, counts } = decodeAll(codec, [
      [1_000_000, writeFrame(frame(40, 3_000_000))],
      [1_004_000, writeFrame(frame(41, 3_004_000))],
      [1_500_000, writeFrame(frame(0, 900))],
      [1_504_000, writeFrame(frame(1, 4900))],
    ]);
    expect(scans.map((scan) => scan.t)).toEqual([1_000_000, 1_004_000, 1_500_000, 1_504_000]);
    expect(counts).toMatchObject({ lost: 0, restarts: 1 });
  });
});

describe('encoding', () => {
  it('numbers frames from what was sent before, and splits inputs that do not follow one another', () => {
    const scan = { type: 'scan', t: 4000, inputs: [3, 4, 9], raws: [1, 2, 3] } as const;
    const messages = codec.encode(scan, 127);
    expect(messages.map((message) => readFrame(inside(message)))).toEqual([
      { sequence: 127, time: 4000, first: 3, raws: [1, 2] },
      { sequence: 0, time: 4000, first: 9, raws: [3] },
    ]);
    const { scans } = decodeAll(codec, [[4000, join(messages)]]);
    expect(readingsOf(scans)).toEqual([
      [4000, 3, 1],
      [4000, 4, 2],
      [4000, 9, 3],
    ]);
  });
});
