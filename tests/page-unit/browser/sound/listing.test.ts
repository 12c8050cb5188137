import { beforeEach, describe, expect, it } from 'vitest';
import type { PlayOptions } from '../../../../src/page/browser/sound/contract.js';
import { Listing } from '../../../../src/page/browser/sound/listing.js';
import type { VoiceEvent } from '../../../../src/room/voice.js';
import { seatSound } from '../../../support/seat-sound.js';
import { mix, off, on } from '../../../engine/builtin/helpers.js';
import { FakeSink } from './hands.js';

const SECOND = 1_000_000;
let sink: FakeSink;
let positions: number[];
let ends: number;

beforeEach(() => {
  sink = new FakeSink();
  sink.contextBehind = 0;
  sink.seats = [seatSound({ level: 0.7, pan: 0.2 }), seatSound({ name: 'south' })];
  positions = [];
  ends = 0;
});

/** A note a second, of half a second. */
const TUNE: VoiceEvent[] = Array.from({ length: 10 }, (_, i): VoiceEvent[] => [
  on({ voice: i + 1, t: i * SECOND }),
  off({ voice: i + 1, t: (i + 0.5) * SECOND }),
]).flat();

const listing = (events: readonly VoiceEvent[], options: PlayOptions = {}): Listing =>
  new Listing(sink, events, {
    ...options,
    onPosition: (t) => positions.push(t),
    onEnd: () => ends++,
  });
/** Lets time go by in steps of 40 ms; gives whether it goes on. */
function pass(one: Listing, seconds: number): boolean {
  let goes = true;
  for (const end = sink.ms + 1_000 * seconds; sink.ms < end;) {
    sink.ms += 40;
    goes = one.tick();
  }
  return goes;
}
/** The first note's frame is 60 ms after it was asked for. */
const BEGINS = 0.06 * 48_000;

describe('a list of voices', () => {
  it('plays every event at its own frame, once, and ends after a tail', () => {
    const one = listing(TUNE);
    expect(pass(one, 11.4)).toBe(true);
    expect(ends).toBe(0);
    expect(sink.notes.map(({ event }) => event)).toEqual([
      ...TUNE,
      { type: 'silence', t: 11.5 * SECOND },
    ]);
    expect(sink.notes.map(({ frame }) => frame)).toEqual(
      [...TUNE.map(({ t }) => t), 11.5 * SECOND].map((t) => BEGINS + (t * 48) / 1_000),
    );
    expect(pass(one, 0.4)).toBe(false);
    expect(ends).toBe(1);
    one.end();
    expect(ends).toBe(1);
  });

  it('begins where it is asked to, with each seat mixed as it is there, and stops there', () => {
    const events = [
      mix({ seat: 1, level: 0.1, t: 0 }),
      ...TUNE.slice(0, 4),
      mix({ seat: 1, level: 0.5, pan: -1, t: 1.6 * SECOND }),
      ...TUNE.slice(4),
    ];
    const one = listing(events, { from: 2 * SECOND, to: 4.2 * SECOND });
    expect(sink.got.slice(0, 2).map(({ event }) => event)).toMatchObject([
      { type: 'mix', seat: 0, level: 0.7, pan: 0.2 },
      { type: 'mix', seat: 1, level: 0.5, pan: -1 },
    ]);
    pass(one, 2.2);
    expect(sink.notes.map(({ event }) => event.t / SECOND)).toEqual([2, 2.5, 3, 3.5, 4, 4.2]);
    expect(sink.notes[0]!.frame).toBe(BEGINS);
    expect(sink.notes.at(-1)!.event.type).toBe('silence');
    pass(one, 0.2);
    expect(ends).toBe(1);
    expect(positions[0]).toBe(2 * SECOND);
    expect(positions.at(-1)).toBe(4.2 * SECOND);
    const steady = positions.filter((t) => t > 2 * SECOND && t < 4.2 * SECOND);
    expect(steady.length).toBeGreaterThan(50);
    expect(steady.every((t, i) => i === 0 || t - steady[i - 1]! === 40_000)).toBe(true);
  });

  it('hands over no more than a second and a half ahead, however long it is', () => {
    listing(TUNE);
    expect(sink.notes.every(({ event }) => event.t < 1.5 * SECOND)).toBe(true);
    expect(sink.notes.length).toBeGreaterThan(1);
  });

  it('goes on after a silence with the notes that begin then', () => {
    const one = listing(TUNE);
    pass(one, 3.2);
    one.silence();
    expect(sink.notes).toEqual([]);
    pass(one, 0.04);
    expect(sink.notes.map(({ event }) => event.t / SECOND)).toEqual([3.5, 4, 4.5]);
    pass(one, 9);
    expect(ends).toBe(1);
  });

  it('stops at once, and what waits is dropped', () => {
    const one = listing(TUNE);
    pass(one, 1);
    one.end();
    expect(sink.got).toEqual([]);
    expect(ends).toBe(1);
    expect(one.tick()).toBe(false);
    expect(sink.got).toEqual([]);
  });

  it('of nothing, or from behind its end, ends too', () => {
    expect(pass(listing([]), 2.2)).toBe(false);
    expect(pass(listing(TUNE, { from: 60 * SECOND, to: 5 * SECOND }), 0.2)).toBe(false);
    expect(ends).toBe(2);
  });

  it('waits while the browser holds the device back', () => {
    const one = listing(TUNE);
    const { ms } = sink;
    for (let i = 0; i < 500; i++) expect(one.tick()).toBe(true);
    expect(sink.ms).toBe(ms);
    expect(positions.every((t) => t === 0)).toBe(true);
  });
});
