import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { seededNumbers } from '../../src/demo/gestures.js';
import { mapFarTime, type FarClock } from '../../src/wire/osc-far-clock.js';
import { farNotes, MOST_BEGUN } from '../../src/wire/osc-far-notes.js';
import { farPads } from '../../src/wire/osc-far-pads.js';
import type { HandOn } from '../../src/wire/osc-hand.js';
import { lossCounter, MOST_GAPS, type LossCounts } from '../../src/wire/osc-loss.js';

describe('the clock of another computer', () => {
  /** The distance found, less the true one with the shortest way; by packet, in microseconds. */
  function errors(drift: number, jitter: number, seconds: number, everyMs: number): number[] {
    const random = seededNumbers(8);
    let clock: FarClock | null = null;
    const found: number[] = [];
    for (let sent = 0; sent < seconds * 1_000_000; sent += everyMs * 1_000) {
      const tag = 1.7e15 + Math.round(sent * (1 + drift * 1e-6));
      const arrival = sent + 300 + Math.round(jitter * random());
      clock = mapFarTime(clock, tag, arrival);
      found.push(clock.distance - (sent + 300 - tag));
    }
    return found;
  }

  it('is found through jitter as well as its best packet came', () => {
    // The first second is said fifty times; then ten a second for ten minutes, 12 ms of jitter.
    const steady = errors(0, 12_000, 600, 100).slice(20);
    expect(Math.min(...steady)).toBeGreaterThanOrEqual(0);
    expect(Math.max(...steady)).toBeLessThan(1_000);
  });

  it.each([100, -100])('is followed where it drifts by %s parts in a million', (drift) => {
    const found = errors(drift, 0, 120, 100);
    // Half a window and one more, of what it drifts in it.
    expect(Math.max(...found.map(Math.abs))).toBeLessThanOrEqual(1_050);
  });

  it('begins again where it was set', () => {
    let clock = mapFarTime(null, 5_000_000, 1_000);
    clock = mapFarTime(clock, 3_605_000_000 + 10_000, 12_000);
    expect(clock.distance).toBe(12_000 - 3_605_010_000);
    clock = mapFarTime(clock, 6_000_000, 22_000);
    expect(clock.distance).toBe(22_000 - 6_000_000);
  });
});

describe('running numbers', () => {
  const fresh = (): LossCounts => ({ lost: 0, reordered: 0, repeated: 0 });

  it('count exactly what a network loses, turns round and repeats', () => {
    const sent = fc.integer({ min: 1, max: 300 });
    fc.assert(
      fc.property(sent, fc.integer(), fc.nat(40), (count, seed, start) => {
        const random = seededNumbers(seed);
        const arrivals: { number: number; at: number }[] = [];
        let dropped: number[] = [];
        for (let i = 0; i < count; i++) {
          const number = start + i;
          if (random() < 0.2) dropped.push(number);
          else arrivals.push({ number, at: i + 8 * random() });
          if (random() < 0.1 && dropped.at(-1) !== number) {
            arrivals.push({ number, at: i + 8 * random() });
          }
        }
        arrivals.sort((a, b) => a.at - b.at);
        const numbers = arrivals.map(({ number }) => number);
        const last = Math.max(...numbers);
        dropped = dropped.filter((n) => n > Math.min(...numbers) && n < last);
        const counts = fresh();
        const counter = lossCounter(counts);
        const news = numbers.filter((number) => counter.arrive(number, number));
        expect(new Set(news).size).toBe(news.length);
        expect(news.length).toBe(new Set(numbers).size);
        expect(counts.repeated).toBe(numbers.length - news.length);
        expect(counts.lost).toBe(dropped.length);
        let top = -1;
        const turned = news.filter((n) => n < top || ((top = n), false));
        expect(counts.reordered).toBe(turned.length);
        expect(counter.missed(10_000_000)).toBe(counts.lost);
        expect(counter.missed(20_000_000)).toBe(0);
      }),
    );
  });

  it('survive a stream that breaks off for long', () => {
    const counts = fresh();
    const counter = lossCounter(counts);
    counter.arrive(0, 0);
    counter.arrive(2_000_000_000, 1);
    expect(counts.lost).toBe(1_999_999_999);
    expect(counter.missed(1)).toBe(1_999_999_999);
  });

  it('take no more memory however many are skipped, and stay counted', () => {
    const counts = fresh();
    const counter = lossCounter(counts);
    const before = process.memoryUsage().heapUsed;
    const packets = 10_000;
    for (let n = 0; n <= packets; n++) counter.arrive(4_097 * n, n);
    expect(process.memoryUsage().heapUsed - before).toBeLessThan(20_000_000);
    expect(counts.lost).toBe(packets * 4_096);
    // A number of a gap that is still kept comes late; one of a gap that is not has come too late.
    expect(counter.arrive(4_097 * (packets - MOST_GAPS) + 5, packets)).toBe(true);
    expect(counter.arrive(4_097 * (packets - MOST_GAPS - 2) + 5, packets)).toBe(false);
    expect(counts.lost).toBe(packets * 4_096 - 1);
    expect(counter.missed(10_000_000)).toBe(counts.lost);
  });
});

describe('pads of another computer', () => {
  const all = (inputs: number[], raws: number[]) => ({ inputs, raws });

  it('play every reading that comes in order, and of one that was overtaken what is still news', () => {
    const pads = farPads();
    expect(pads.scan(1, all([0, 1], [5, 6]))).toEqual(all([0, 1], [5, 6]));
    expect(pads.scan(2, all([0], [5]))).toEqual(all([0], [5]));
    expect(pads.scan(4, all([0], [9]))).toEqual(all([0], [9]));
    expect(pads.scan(3, all([0, 1], [7, 8]))).toEqual(all([1], [8]));
  });

  it('are told again only where a scan was lost', () => {
    const pads = farPads();
    pads.scan(1, all([0, 1], [5, 6]));
    expect(pads.now(2, all([0, 1], [5, 6]))).toEqual(all([], []));
    expect(pads.now(4, all([0, 1, 2], [5, 9, 3]))).toEqual(all([1, 2], [9, 3]));
    // The lost one comes after all: an old state.
    expect(pads.scan(3, all([0, 1], [7, 9]))).toEqual(all([], []));
    // What was sent before the last scan says nothing against it.
    pads.scan(6, all([1], [1]));
    expect(pads.now(5, all([0, 1], [5, 9]))).toEqual(all([], []));
  });
});

describe('notes of another computer', () => {
  const on = (voice: number): HandOn => ({
    type: 'on',
    voice,
    note: 40,
    velocity: 9,
    strength: 0.1,
    string: 0,
    fret: 0,
    how: 'pluck',
  });

  it('end once, also where their off was lost or came first', () => {
    const notes = farNotes();
    expect(notes.on(1, on(7))).toBe(true);
    expect(notes.on(1, on(7))).toBe(false);
    expect(notes.sounding(3, [7])).toEqual([]);
    expect(notes.sounding(5, [])).toEqual([7]);
    expect(notes.off(4, 7)).toBe(false);
    expect(notes.off(9, 8)).toBe(false);
    expect(notes.on(8, on(8))).toBe(false);
  });

  it('begin late where only their on was overtaken, and not after their end was told', () => {
    const notes = farNotes();
    notes.sounding(5, [3]);
    expect(notes.on(4, on(3))).toBe(true);
    expect(notes.on(2, on(2))).toBe(false);
    notes.reset(9);
    expect(notes.on(8, on(4))).toBe(false);
    expect(notes.on(10, on(5))).toBe(true);
  });

  it('never stay, whatever a network does: the last list that came rules', () => {
    fc.assert(
      fc.property(fc.integer(), (seed) => {
        const random = seededNumbers(seed);
        const packets: { number: number; at: number; what: HandOn | number | number[] }[] = [];
        const sounding = new Set<number>();
        for (let number = 0, voice = 0; number < 200; number++) {
          let what: HandOn | number | number[];
          if (random() < 0.2) what = [...sounding];
          else if (random() < 0.5 || sounding.size === 0) {
            what = on(++voice);
            sounding.add(voice);
          } else {
            what = [...sounding][Math.floor(random() * sounding.size)]!;
            sounding.delete(what);
          }
          if (random() < 0.7) packets.push({ number, at: number + 30 * random(), what });
        }
        packets.sort((a, b) => a.at - b.at);
        packets.push({ number: 200, at: 999, what: [...sounding] });
        const notes = farNotes();
        const heard = new Set<number>();
        for (const { number, what } of packets) {
          if (Array.isArray(what))
            for (const voice of notes.sounding(number, what)) {
              expect(heard.delete(voice)).toBe(true);
            }
          else if (typeof what === 'number') {
            expect(notes.off(number, what)).toBe(heard.delete(what));
          } else if (notes.on(number, what)) heard.add(what.voice);
        }
        for (const voice of heard) expect(sounding.has(voice)).toBe(true);
      }),
    );
  });

  it('are taken up to a limit where none is ended, and again once some are', () => {
    const notes = farNotes();
    for (let voice = 0; voice < MOST_BEGUN; voice++) expect(notes.on(voice, on(voice))).toBe(true);
    expect(notes.on(1_000, on(1_000))).toBe(false);
    expect(notes.off(1_001, 3)).toBe(true);
    expect(notes.on(1_002, on(1_002))).toBe(true);
  });
});
