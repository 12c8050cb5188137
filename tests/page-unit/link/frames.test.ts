import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { decodeHistory, encodeHistory } from '../../../src/page/link/history-frame.js';
import type { Layout } from '../../../src/page/link/frames.js';
import {
  decodeLevels,
  encodeLevels,
  levelsOf,
  NO_LAYOUT,
  type LevelsFrame,
} from '../../../src/page/link/levels-frame.js';
import { decodeVoices, encodeVoices } from '../../../src/page/link/voices-frame.js';

// Expected bytes are put together here with Node's Buffer from the table in src/page/link/frames.ts.

const hex = (bytes: Uint8Array): string => Buffer.from(bytes).toString('hex');

/** Some bytes in the middle of others, as a network library hands them over. */
function pooled(bytes: Uint8Array): Uint8Array {
  const pool = new Uint8Array(bytes.length + 7).fill(0xee);
  pool.set(bytes, 3);
  return pool.subarray(3, 3 + bytes.length);
}

const LAYOUT: Layout = {
  layout: 0x1_0002,
  slices: [
    { slice: 7, pads: 9, strings: 2 },
    { slice: 3, pads: 1, strings: 1 },
  ],
};

/** Fills a frame with what can be told apart from any other. */
function fill(levels: LevelsFrame, seed: number): void {
  let n = seed;
  for (const seat of levels.slices.values()) {
    for (const bytes of [seat.pads, seat.notes, seat.strengths]) {
      for (let i = 0; i < bytes.length; i++) bytes[i] = n = (n * 31 + 7) & 255;
    }
    for (let pad = 0; pad < seat.touched.length; pad++) seat.touched[pad] = (n >> (pad & 7)) & 1;
    seat.begun = n;
  }
}

describe('a levels frame', () => {
  it('is laid out as its table says', () => {
    const levels = levelsOf(LAYOUT);
    Object.assign(levels, { frame: 0x1_0203, t: 1.5 });
    const [a, b] = levels.slices.values();
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
      ['0100', '0302', '02000100', t.toString('hex')].join('') +
        ['000102030405c8feff', '4101', '2180', 'ff00', 'fa'].join('') +
        ['4d', '00', '3cff', '00'].join(''),
    );
  });

  it('is read as it was written, wherever it lies in memory', () => {
    const byte = fc.integer({ min: 0, max: 255 });
    const seat = fc.record({ pads: fc.array(byte, { maxLength: 30 }), strings: fc.array(byte) });
    fc.assert(
      fc.property(fc.array(seat, { maxLength: 5 }), fc.double({ noNaN: true }), (seats, t) => {
        const slices = seats.map(({ pads, strings }, slice) => ({
          slice,
          pads: pads.length,
          strings: strings.length,
        }));
        const sent = levelsOf({ layout: 1, slices });
        sent.frame = 1;
        sent.t = t;
        seats.forEach(({ pads, strings }, i) => {
          const one = sent.slices.get(i)!;
          one.pads.set(pads);
          one.touched.set(pads.map((level) => level & 1));
          one.notes.set(strings);
          one.strengths.set(strings.map((value) => 255 - value));
          one.begun = strings[0] ?? 0;
        });
        const read = levelsOf({ layout: 1, slices });
        expect(decodeLevels(pooled(encodeLevels(sent)), read)).toBe(true);
        expect(read).toEqual(sent);
      }),
    );
  });

  it('counts on over the turn of its sequence, and counts those that were left out', () => {
    const sent = levelsOf(LAYOUT);
    const read = levelsOf(LAYOUT);
    for (const frame of [1, 2, 65_535, 65_536, 65_540, 131_071, 131_073]) {
      sent.frame = frame;
      expect(decodeLevels(encodeLevels(sent), read)).toBe(true);
      expect(read.frame).toBe(frame);
    }
  });

  it('of another layout, cut off or of another kind is refused and changes nothing', () => {
    const read = levelsOf(LAYOUT);
    const sent = levelsOf(LAYOUT);
    sent.t = 5;
    const bytes = encodeLevels(sent);
    const fewer = encodeLevels(levelsOf({ ...LAYOUT, slices: LAYOUT.slices.slice(1) }));
    // As long as a frame of the layout is, but laid out by another one.
    const other = encodeLevels(levelsOf({ ...LAYOUT, layout: LAYOUT.layout + 1 }));
    const history = Uint8Array.from(bytes);
    history[0] = 2;
    for (const wrong of [
      ...[bytes.subarray(1), bytes.subarray(0, -1), bytes.subarray(0, 0), bytes.subarray(0, 7)],
      ...[fewer, other, history],
    ]) {
      expect(decodeLevels(wrong, read)).toBe(false);
    }
    expect(read).toEqual(levelsOf(LAYOUT));
  });
});

describe('levels while seats come, go and get other pads', () => {
  /** What happens to the layout, one thing after the other. */
  const steps = fc.array(
    fc.oneof(
      fc.record({ do: fc.constant('add' as const), pads: fc.nat(40), strings: fc.nat(8) }),
      fc.record({ do: fc.constant('remove' as const), at: fc.nat() }),
      fc.record({ do: fc.constant('refit' as const), at: fc.nat(), pads: fc.nat(40) }),
      fc.record({ do: fc.constant('turn' as const) }),
      fc.record({ do: fc.constant('frame' as const), seed: fc.nat(255) }),
    ),
    { maxLength: 60 },
  );

  it('are always those of their own slice, and the others go on as they were', () => {
    fc.assert(
      fc.property(steps, fc.array(fc.boolean(), { minLength: 60, maxLength: 60 }), (all, late) => {
        let number = 0;
        let layout: Layout = NO_LAYOUT;
        let sent = levelsOf(layout);
        let read = levelsOf(layout);
        /** Of the layout that was told last, what was sent last of each slice. */
        const latest = new Map<number, string>();
        const old: Uint8Array[] = [];
        const is = (slices: Layout['slices']): void => {
          const before = read;
          layout = { layout: layout.layout + 1, slices };
          sent = levelsOf(layout, sent);
          read = levelsOf(layout, read);
          for (const [slice, own] of read.slices) {
            const known = before.slices.get(slice);
            if (known) expect(own).toBe(known);
            else expect([...own.pads, ...own.touched].every((one) => one === 0)).toBe(true);
          }
          for (const slice of latest.keys()) if (!read.slices.has(slice)) latest.delete(slice);
        };
        all.forEach((step, i) => {
          const { slices } = layout;
          const at = 'at' in step && slices.length > 0 ? step.at % slices.length : -1;
          if (step.do === 'add') {
            const { pads, strings } = step;
            is([...slices, { slice: number++, pads, strings }]);
          } else if (step.do === 'remove' && at >= 0) {
            is(slices.filter((_, own) => own !== at));
          } else if (step.do === 'refit' && at >= 0) {
            const refitted = { ...slices[at]!, slice: number++, pads: step.pads };
            is(slices.map((one, own) => (own === at ? refitted : one)));
          } else if (step.do === 'turn') is([...slices].reverse());
          else if (step.do === 'frame') {
            fill(sent, step.seed);
            sent.frame += 1;
            const bytes = pooled(encodeLevels(sent));
            // Some are held up, and come when the layout may be another one already.
            if (late[i]) old.push(bytes);
            else {
              expect(decodeLevels(bytes, read)).toBe(true);
              for (const [slice, own] of sent.slices) latest.set(slice, JSON.stringify(own));
            }
          }
          for (const bytes of old) {
            const was = new DataView(bytes.buffer, bytes.byteOffset).getUint32(4, true);
            if (was !== layout.layout) expect(decodeLevels(bytes, read)).toBe(false);
          }
          for (const [slice, own] of latest) {
            expect(JSON.stringify(read.slices.get(slice))).toBe(own);
          }
        });
      }),
      { numRuns: 200, seed: 11 },
    );
  });
});

describe('a history frame', () => {
  const rows = {
    slice: 70_003,
    lost: 70_000,
    on: Float32Array.of(0.5, 0.25),
    off: Float32Array.of(0.25, 0.125),
    times: Float64Array.of(1_000, 2_000.5),
    levels: Float32Array.of(0, 1, -0.5, 2),
  };

  it('is laid out as its table says', () => {
    const bytes = Buffer.alloc(12 + 16 + 2 * 16);
    bytes.set([2, 0]);
    bytes.writeUInt16LE(2, 2);
    bytes.writeUInt32LE(70_000, 4);
    bytes.writeUInt32LE(70_003, 8);
    [0.5, 0.25, 0.25, 0.125].forEach((level, i) => bytes.writeFloatLE(level, 12 + 4 * i));
    bytes.writeDoubleLE(1_000, 28);
    bytes.writeFloatLE(0, 36);
    bytes.writeFloatLE(1, 40);
    bytes.writeDoubleLE(2_000.5, 44);
    bytes.writeFloatLE(-0.5, 52);
    bytes.writeFloatLE(2, 56);
    expect(hex(encodeHistory(rows))).toBe(bytes.toString('hex'));
  });

  it('is read as it was written, also without rows', () => {
    expect(decodeHistory(pooled(encodeHistory(rows)), () => 2)).toEqual(rows);
    const none = { ...rows, times: new Float64Array(), levels: new Float32Array() };
    expect(decodeHistory(encodeHistory(none), () => 2)).toEqual(none);
  });

  it('of a slice that is not there, with other pads or cut off is refused', () => {
    const bytes = encodeHistory(rows);
    expect(decodeHistory(bytes, () => undefined)).toBeNull();
    expect(decodeHistory(bytes, () => 3)).toBeNull();
    expect(decodeHistory(bytes.subarray(0, -1), () => 2)).toBeNull();
    expect(decodeHistory(bytes.subarray(0, 11), () => 2)).toBeNull();
    expect(decodeHistory(encodeLevels(levelsOf(NO_LAYOUT)), () => 0)).toBeNull();
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
    expect(decodeVoices(encodeLevels(levelsOf(NO_LAYOUT)), 1)).toBeNull();
  });
});
