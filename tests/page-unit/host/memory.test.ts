import { Worker } from 'node:worker_threads';
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { createMemory, GUARD, partsOf, VOICES } from '../../../src/page/link/memory.js';
import { RowsReader, SeatLook, VoicesReader } from '../../../src/page/link/memory-read.js';
import { MemoryWriter } from '../../../src/page/link/memory-write.js';
import { readVoice, VOICE_BYTES, writeVoice } from '../../../src/page/link/voice-record.js';
import { isSound, type VoiceEvent, type VoiceOn } from '../../../src/room/voice.js';
import { anySeats, anyVoices } from '../../contract/voice-events.js';

const SIZES = [
  { pads: 3, strings: 2 },
  { pads: 20, strings: 4 },
];

function setUp() {
  const memory = createMemory(SIZES);
  return { memory, writer: new MemoryWriter(memory) };
}

const row = (level: number, pads = 20): Float32Array => new Float32Array(pads).fill(level);

const on = (voice: number, own: Partial<VoiceOn> = {}): VoiceOn => ({
  ...{ type: 'on', t: voice, voice, seat: 1, note: 40, velocity: 90, strength: 1 },
  ...{ string: 2, fret: 1, how: 'pluck', ...own },
});

describe('rows of levels', () => {
  it('are read once, in their order, by each reader that was there', () => {
    const { memory, writer } = setUp();
    writer.row(1, 1_000, row(0.25));
    const [one, other] = [new RowsReader(memory, 1), new RowsReader(memory, 1)];
    writer.row(1, 5_000, row(0.5));
    writer.row(0, 5_000, row(0.125, 3));
    expect(one.read()).toMatchObject({ count: 1, lost: 0 });
    writer.row(1, 9_000, row(0.75));
    const { times, levels } = other.read();
    expect([...times]).toEqual([5_000, 9_000]);
    expect([...levels]).toEqual([...row(0.5), ...row(0.75)]);
    expect([...one.read().times]).toEqual([9_000]);
    expect(one.read()).toMatchObject({ count: 0, lost: 0 });
  });

  it('that were overwritten are counted, and the others are the latest', () => {
    const { memory, writer } = setUp();
    const { rows } = partsOf(memory).seats[1]!;
    // 4 s at 250 scans a second.
    expect(rows).toBeGreaterThanOrEqual(4 * 250);
    const reader = new RowsReader(memory, 1);
    for (let t = 1; t <= 3_000; t++) writer.row(1, t, row(t % 7));
    const { count, lost, times, levels } = reader.read();
    expect(count + lost).toBe(3_000);
    expect(count).toBe(rows - GUARD);
    expect([times[0], times.at(-1)]).toEqual([lost + 1, 3_000]);
    expect(levels[0]).toBe((lost + 1) % 7);
  });

  it('go on where the count of them begins anew', () => {
    const { memory, writer } = setUp();
    const { heads } = partsOf(memory).seats[1]!;
    for (const start of [2 ** 31 - 3, 2 ** 32 - 3]) {
      Atomics.store(heads, 0, start);
      const reader = new RowsReader(memory, 1);
      for (let t = 1; t <= 10; t++) writer.row(1, t, row(t));
      const { times, levels, lost } = reader.read();
      expect([...times]).toEqual([1, 2, 3, 4, 5, 6, 7, 8, 9, 10]);
      expect(lost).toBe(0);
      expect(levels[19 * 10]).toBe(10);
    }
  });

  it('of many pads take a bounded part of the memory', () => {
    const { buffer } = createMemory([{ pads: 4_096, strings: 1 }]);
    expect(buffer.byteLength).toBeLessThan(1_300_000);
    // A class of 32 basses.
    const room = createMemory(Array.from({ length: 32 }, () => ({ pads: 20, strings: 4 })));
    expect(room.buffer.byteLength).toBeLessThan(4_000_000);
  });

  it('are whole, and none is missing without a word, while another thread writes without a pause', async () => {
    const memory = createMemory(SIZES);
    const built = (name: string): string =>
      JSON.stringify(new URL(`../../../dist/page/link/${name}.js`, import.meta.url).href);
    // Its levels say which row it is, so that a row that is half of another shows.
    const worker = new Worker(
      `const { workerData, parentPort } = require('node:worker_threads');
       import(${built('memory-write')}).then(({ MemoryWriter }) => {
         const writer = new MemoryWriter(workerData);
         const levels = new Float32Array(20);
         const end = performance.now() + 400;
         let n = 0;
         while (performance.now() < end) {
           for (let i = 0; i < 50; i++) { n += 1; levels.fill(n % 4096); writer.row(1, n, levels); }
         }
         parentPort.postMessage(n);
       });`,
      { eval: true, workerData: memory },
    );
    const written = new Promise<number>((resolve, reject) => {
      worker.once('message', resolve);
      worker.once('error', reject);
    });
    const reader = new RowsReader(memory, 1);
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
    const { memory, writer } = setUp();
    const look = new SeatLook(memory, 0);
    const peaks = new Float32Array(3);
    writer.row(0, 1, Float32Array.of(0.5, -0.25, 0));
    writer.row(0, 2, Float32Array.of(0.25, -0.5, 0));
    look.peaks(peaks);
    expect([...peaks]).toEqual([0.5, -0.25, 0]);
    look.peaks(peaks);
    expect([...peaks]).toEqual([0.25, -0.5, 0]);
  });

  it('finds touches that were over since, and those that go on', () => {
    const { memory, writer } = setUp();
    writer.onset(0, 2);
    const look = new SeatLook(memory, 0);
    const touched = new Uint8Array(3);
    const now = (): number[] => {
      look.touched(touched);
      return [...touched];
    };
    expect(now()).toEqual([0, 0, 1]);
    writer.lift(0, 2);
    expect(now()).toEqual([0, 0, 0]);
    writer.onset(0, 0);
    writer.lift(0, 0);
    writer.onset(0, 1);
    expect(now()).toEqual([1, 1, 0]);
    expect(now()).toEqual([0, 1, 0]);
    writer.lifted(0);
    expect(now()).toEqual([0, 0, 0]);
    // Beyond what the memory is for nothing is written.
    writer.onset(0, 3);
    expect(now()).toEqual([0, 0, 0]);
  });

  it('finds what sounds on each string, its strength, and how many notes have begun', () => {
    const { memory, writer } = setUp();
    const look = new SeatLook(memory, 1);
    expect([0, 1, 2, 3].map((string) => look.note(string))).toEqual([255, 255, 255, 255]);
    writer.sounds(on(1, { strength: 0.5 }));
    expect([look.note(2), look.strength(2), look.begun]).toEqual([40, 128, 1]);
    const off = { type: 'off', t: 2, voice: 1, seat: 1, note: 40, string: 2 } as const;
    writer.sounds({ ...off, slurred: false });
    expect([look.note(2), look.strength(2), look.begun]).toEqual([255, 128, 1]);
    for (let n = 0; n < 255; n++) writer.sounds(on(n, { string: 0, note: 0, strength: 2 }));
    expect([look.note(0), look.strength(0), look.begun]).toEqual([0, 255, 0]);
    writer.sounds({ type: 'silence', t: 3 });
    expect(look.note(0)).toBe(255);
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
    const { memory, writer } = setUp();
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
