import { Worker } from 'node:worker_threads';
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import {
  GUARD,
  seatMemory,
  voiceMemory,
  VOICES,
  type SeatMemory,
} from '../../../src/page/link/memory.js';
import { RowsReader, SeatLook, VoicesReader } from '../../../src/page/link/memory-read.js';
import { SeatWriter, VoicesWriter } from '../../../src/page/link/memory-write.js';
import { readVoice, VOICE_BYTES, writeVoice } from '../../../src/page/link/voice-record.js';
import { isSound, type VoiceEvent, type VoiceOn } from '../../../src/room/voice.js';
import { anySeats, anyVoices } from '../../contract/voice-events.js';

const SMALL = { slice: 1, pads: 3, strings: 2 };
const BASS = { slice: 2, pads: 20, strings: 4 };

function setUp(slice = BASS) {
  const memory = seatMemory(slice);
  return { memory, writer: new SeatWriter(memory) };
}

const row = (level: number, pads = 20): Float32Array => new Float32Array(pads).fill(level);

const on = (voice: number, own: Partial<VoiceOn> = {}): VoiceOn => ({
  type: 'on',
  t: voice,
  voice,
  seat: 1,
  note: 40,
  velocity: 90,
  strength: 1,
  string: 2,
  fret: 1,
  how: 'pluck',
  ...own,
});

describe('rows of levels', () => {
  it('are read once, in their order, by each reader that was there', () => {
    const { memory, writer } = setUp();
    const beside = setUp(SMALL);
    writer.row(1_000, row(0.25));
    const [one, other] = [new RowsReader(memory), new RowsReader(memory)];
    writer.row(5_000, row(0.5));
    beside.writer.row(5_000, row(0.125, 3));
    expect(one.read()).toMatchObject({ count: 1, lost: 0 });
    writer.row(9_000, row(0.75));
    const { times, levels } = other.read();
    expect([...times]).toEqual([5_000, 9_000]);
    expect([...levels]).toEqual([...row(0.5), ...row(0.75)]);
    expect([...one.read().times]).toEqual([9_000]);
    expect(one.read()).toMatchObject({ count: 0, lost: 0 });
  });

  it('that were overwritten are counted, and the others are the latest', () => {
    const { memory, writer } = setUp();
    const { rows } = writer.parts;
    // 4 s at 250 scans a second.
    expect(rows).toBeGreaterThanOrEqual(4 * 250);
    const reader = new RowsReader(memory);
    for (let t = 1; t <= 3_000; t++) writer.row(t, row(t % 7));
    const { count, lost, times, levels } = reader.read();
    expect(count + lost).toBe(3_000);
    expect(count).toBe(rows - GUARD);
    expect([times[0], times.at(-1)]).toEqual([lost + 1, 3_000]);
    expect(levels[0]).toBe((lost + 1) % 7);
  });

  it('go on where the count of them begins again', () => {
    const { memory, writer } = setUp();
    for (const start of [2 ** 31 - 3, 2 ** 32 - 3]) {
      Atomics.store(writer.parts.heads, 0, start);
      const reader = new RowsReader(memory);
      for (let t = 1; t <= 10; t++) writer.row(t, row(t));
      const { times, levels, lost } = reader.read();
      expect([...times]).toEqual([1, 2, 3, 4, 5, 6, 7, 8, 9, 10]);
      expect(lost).toBe(0);
      expect(levels[19 * 10]).toBe(10);
    }
  });

  it('of many pads take a bounded part of the memory', () => {
    const { buffer } = seatMemory({ slice: 0, pads: 4_096, strings: 1 });
    expect(buffer.byteLength).toBeLessThan(1_300_000);
    // Each of a class of 32 basses.
    expect(seatMemory(BASS).buffer.byteLength).toBeLessThan(4_000_000 / 32);
  });

  it('are whole, and none is missing without a word, while another thread writes without a pause', async () => {
    const memory = seatMemory(BASS);
    const built = (name: string): string =>
      JSON.stringify(new URL(`../../../dist/page/link/${name}.js`, import.meta.url).href);
    // Its levels say which row it is, so that a row that is half of another shows.
    const worker = new Worker(
      `const { workerData, parentPort } = require('node:worker_threads');
       import(${built('memory-write')}).then(({ SeatWriter }) => {
         const writer = new SeatWriter(workerData);
         const levels = new Float32Array(20);
         const end = performance.now() + 400;
         let n = 0;
         while (performance.now() < end) {
           for (let i = 0; i < 50; i++) { n += 1; levels.fill(n % 4096); writer.row(n, levels); }
         }
         parentPort.postMessage(n);
       });`,
      { eval: true, workerData: memory },
    );
    const written = new Promise<number>((resolve, reject) => {
      worker.once('message', resolve);
      worker.once('error', reject);
    });
    const reader = new RowsReader(memory);
    let all = NaN;
    void written.then((n) => (all = n));
    let [seen, lost, missing, last, torn] = [0, 0, 0, 0, 0];
    for (;;) {
      const over = !Number.isNaN(all);
      const rows = reader.read();
      lost += rows.lost;
      missing += rows.lost;
      for (let i = 0; i < rows.count; i++) {
        const t = rows.times[i]!;
        // What lies between two rows is what was counted as lost.
        if (t !== last + 1 + missing) torn += 1;
        missing = 0;
        last = t;
        for (let pad = 0; pad < 20; pad++) if (rows.levels[i * 20 + pad] !== t % 4_096) torn += 1;
      }
      seen += rows.count;
      if (over) break;
      await new Promise((resolve) => setImmediate(resolve));
    }
    await worker.terminate();
    expect(torn).toBe(0);
    expect(seen + lost).toBe(all);
    expect(seen).toBeGreaterThan(1_000);
  });
});

describe('a look at a seat', () => {
  it('finds the highest level since the last one, and then the one that stayed', () => {
    const { memory, writer } = setUp(SMALL);
    const look = new SeatLook(memory);
    const peaks = new Float32Array(3);
    writer.row(1, Float32Array.of(0.5, -0.25, 0));
    writer.row(2, Float32Array.of(0.25, -0.5, 0));
    look.peaks(peaks);
    expect([...peaks]).toEqual([0.5, -0.25, 0]);
    look.peaks(peaks);
    expect([...peaks]).toEqual([0.25, -0.5, 0]);
  });

  it('finds touches that were over since, and those that go on', () => {
    const { memory, writer } = setUp(SMALL);
    writer.onset(2);
    const look = new SeatLook(memory);
    const touched = new Uint8Array(3);
    const now = (): number[] => {
      look.touched(touched);
      return [...touched];
    };
    expect(now()).toEqual([0, 0, 1]);
    writer.lift(2);
    expect(now()).toEqual([0, 0, 0]);
    writer.onset(0);
    writer.lift(0);
    writer.onset(1);
    expect(now()).toEqual([1, 1, 0]);
    expect(now()).toEqual([0, 1, 0]);
    writer.lifted();
    expect(now()).toEqual([0, 0, 0]);
    // Beyond what the memory is for nothing is written.
    writer.onset(3);
    expect(now()).toEqual([0, 0, 0]);
  });

  it('finds what sounds on each string, its strength, and how many notes have begun', () => {
    const { memory, writer } = setUp();
    const look = new SeatLook(memory);
    expect([0, 1, 2, 3].map((string) => look.note(string))).toEqual([255, 255, 255, 255]);
    writer.begins(on(1, { strength: 0.5 }));
    expect([look.note(2), look.strength(2), look.begun]).toEqual([40, 128, 1]);
    const off = { string: 2 };
    writer.ends(off);
    expect([look.note(2), look.strength(2), look.begun]).toEqual([255, 128, 1]);
    for (let n = 0; n < 255; n++) writer.begins(on(n, { string: 0, note: 0, strength: 2 }));
    expect([look.note(0), look.strength(0), look.begun]).toEqual([0, 255, 0]);
    writer.silenced();
    expect(look.note(0)).toBe(255);
  });
});

describe('memory of seats that come, go and get other pads', () => {
  const size = fc.record({
    pads: fc.integer({ min: 1, max: 64 }),
    strings: fc.integer({ min: 1, max: 8 }),
  });
  const step = fc.oneof(
    fc.record({ do: fc.constant('come' as const), size }),
    fc.record({ do: fc.constant('leave' as const), at: fc.nat() }),
    fc.record({ do: fc.constant('refit' as const), at: fc.nat(), size }),
    fc.record({ do: fc.constant('play' as const), at: fc.nat(), rows: fc.nat(20) }),
    fc.record({ do: fc.constant('read' as const) }),
  );

  it('gives each reader all rows of its own seat, none of another one, and none twice', () => {
    fc.assert(
      fc.property(fc.array(step, { maxLength: 80 }), (steps) => {
        const seats: {
          readonly memory: SeatMemory;
          readonly writer: SeatWriter;
          readonly reader: RowsReader;
          readonly wanted: number[];
        }[] = [];
        let slice = 0;
        let t = 0;
        const seat = (own: { readonly pads: number; readonly strings: number }) => {
          const memory = seatMemory({ slice: slice++, ...own });
          const [writer, reader] = [new SeatWriter(memory), new RowsReader(memory)];
          return { memory, writer, reader, wanted: [] };
        };
        const read = (): void => {
          for (const { memory, reader, wanted } of seats) {
            const { pads } = memory.slice;
            const { times, levels, lost } = reader.read();
            expect([lost, [...times]]).toEqual([0, wanted.splice(0)]);
            // Each row says whose it is, and which.
            times.forEach((at, i) => {
              const own = Math.fround(at * 64 + memory.slice.slice);
              for (let pad = 0; pad < pads; pad++) expect(levels[i * pads + pad]).toBe(own);
            });
            expect(new SeatLook(memory).note(0)).toBe(255);
          }
        };
        for (const one of steps) {
          const at = 'at' in one && seats.length > 0 ? one.at % seats.length : -1;
          if (one.do === 'come') seats.push(seat(one.size));
          else if (one.do === 'leave' && at >= 0) seats.splice(at, 1);
          else if (one.do === 'refit' && at >= 0) seats[at] = seat(one.size);
          else if (one.do === 'play' && at >= 0) {
            const { memory, writer, wanted } = seats[at]!;
            for (let n = 0; n < one.rows; n++) {
              t += 1;
              // An instrument that was just taken away may still have more pads than this.
              writer.row(t, new Float32Array(64).fill(Math.fround(t * 64 + memory.slice.slice)));
              wanted.push(t);
            }
            if (wanted.length > 900) read();
          } else read();
        }
        read();
      }),
      { numRuns: 200, seed: 12 },
    );
  });
});

describe('voices', () => {
  it('are read as they were, whatever a room may send', () => {
    const view = new DataView(new ArrayBuffer(VOICE_BYTES));
    const any = anySeats().chain((seats) => anyVoices(seats));
    fc.assert(
      fc.property(any, (events) => {
        for (const event of events.filter(isSound)) {
          writeVoice(view, 0, event);
          expect(readVoice(view, 0)).toEqual(event);
        }
      }),
      { numRuns: 100, seed: 6 },
    );
  });

  it('are refused where none can be', () => {
    const view = new DataView(new ArrayBuffer(VOICE_BYTES));
    view.setUint8(0, 9);
    expect(() => readVoice(view, 0)).toThrow(RangeError);
    view.setUint16(0, 0xff);
    expect(() => readVoice(view, 0)).toThrow(RangeError);
  });

  it('come in their order, and those that were overwritten are counted', () => {
    const memory = voiceMemory();
    const writer = new VoicesWriter(memory);
    const reader = new VoicesReader(memory);
    const read = (): { lost: number; voices: VoiceEvent[] } => {
      const { count, lost, bytes } = reader.read();
      const view = new DataView(bytes.buffer, bytes.byteOffset, bytes.byteLength);
      const at = Array.from({ length: count }, (_, i) => i * VOICE_BYTES);
      return { lost, voices: at.map((one) => readVoice(view, one)) };
    };
    writer.voice(on(1));
    writer.voice({ type: 'silence', t: 2 });
    expect(read()).toEqual({ lost: 0, voices: [on(1), { type: 'silence', t: 2 }] });
    for (let voice = 1; voice <= VOICES; voice++) writer.voice(on(voice));
    const { lost, voices } = read();
    expect(lost).toBe(GUARD);
    expect(voices[0]).toEqual(on(GUARD + 1));
    expect(voices.at(-1)).toEqual(on(VOICES));
  });
});
