import { readFileSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import { padCount, parseInstrument } from '../../src/instrument/instrument.js';
import type { HitsInstrument, Instrument, KeysInstrument } from '../../src/instrument/types.js';
import type { VoiceEvent } from '../../src/room/voice.js';
import { demoUnit } from '../../src/demo/demo.js';
import { readingsOf, seededNumbers, type Gesture } from '../../src/demo/gestures.js';
import { rerun } from '../../src/takes/rerun.js';
import { MILLISECOND, SECOND, type Micros } from '../../src/time/micros.js';
import { PLAIN } from '../support/bass.js';

function shipped(name: string): Instrument {
  const file = new URL(`../../config/instruments/${name}.yaml`, import.meta.url);
  return parseInstrument(readFileSync(file, 'utf8'), name);
}
const KEYS = shipped('keys-13') as KeysInstrument;
const DRUMS = shipped('drums-6') as HitsInstrument;
const SEED = 1;

/** What is heard of raw readings, on a unit without a calibration. */
function play(instrument: Instrument, gestures: readonly Gesture[]): VoiceEvent[] {
  const count = padCount(instrument);
  const length = Math.max(...gestures.map(({ until }) => until)) + SECOND;
  const heard: VoiceEvent[] = [];
  rerun(
    readingsOf(gestures, demoUnit(count, SEED), length, SEED),
    {
      instrument,
      rules: PLAIN,
      pads: { pads: count, build: null, full: 16_383, decided: false },
    },
    (_seat, _t, error) => {
      throw error as Error;
    },
  ).subscribe((event) => heard.push(event));
  return heard;
}

const onsOf = (heard: readonly VoiceEvent[]) => heard.filter((event) => event.type === 'on');

/** Every voice that began has ended, once. */
function expectAllEnded(heard: readonly VoiceEvent[]): void {
  const ended = heard.filter((event) => event.type === 'off').map(({ voice }) => voice);
  expect(ended.sort((a, b) => a - b)).toEqual(onsOf(heard).map(({ voice }) => voice));
  expect(heard.at(-1)?.type).toBe('silence');
}

describe('keys, from raw readings on', () => {
  it('play three hundred random chords of one to five notes: each key of each chord once, and no other', () => {
    const random = seededNumbers(SEED);
    const gestures: Gesture[] = [];
    const chords: { at: Micros; until: Micros; notes: number[] }[] = [];
    for (let i = 0, at = SECOND; i < 300; i++, at += 400 * MILLISECOND) {
      const chosen = new Set<number>();
      const size = 1 + Math.floor(5 * random());
      while (chosen.size < size) chosen.add(Math.floor(13 * random()));
      const until = at + 250 * MILLISECOND;
      for (const key of chosen) {
        // Fingers of a chord come up to 20 ms apart, and leave so.
        const apart = (): Micros => Math.round(20 * MILLISECOND * random());
        const { pad } = KEYS.keys[key]!;
        gestures.push({
          pad,
          at: at + apart(),
          until: until + apart(),
          strength: 0.5 + random() / 2,
        });
      }
      chords.push({ at, until, notes: [...chosen].map((key) => KEYS.keys[key]!.note) });
    }
    const heard = play(KEYS, gestures);
    const ons = onsOf(heard);
    let sounded = 0;
    chords.forEach(({ at, until, notes }) => {
      const own = ons.filter(({ t }) => t >= at && t < at + 400 * MILLISECOND);
      expect(own.map(({ note }) => note).sort((a, b) => a - b)).toEqual(
        notes.sort((a, b) => a - b),
      );
      sounded += own.length;
      for (const on of own) {
        expect(on.how).toBe('press');
        // Landing 8 ms, scans 4 ms apart, and one more reading is waited for; 20 ms apart.
        expect(on.t - at).toBeLessThanOrEqual(36 * MILLISECOND);
        const off = heard.find((event) => event.type === 'off' && event.voice === on.voice)!;
        // Lifting: 20 ms apart, 8 ms to leave, a scan, and the 24 ms until it is certain.
        expect(off.t).toBeGreaterThan(until);
        expect(off.t - until).toBeLessThanOrEqual(56 * MILLISECOND);
      }
    });
    expect(sounded).toBe(ons.length);
    expect(sounded).toBeGreaterThan(700);
    expectAllEnded(heard);
  });

  it('sound ten fingers at once, as many as the plain rules let one unit sound', () => {
    const gestures = KEYS.keys.slice(0, 10).map(({ pad }) => ({
      pad,
      at: SECOND,
      until: 2 * SECOND,
      strength: 0.9,
    }));
    const heard = play(KEYS, gestures);
    expect(onsOf(heard)).toHaveLength(10);
    expect(heard.slice(0, 10).every(({ type }) => type === 'on')).toBe(true);
    expectAllEnded(heard);
  });

  it('sound nothing twice when a finger stays for long and trembles', () => {
    const random = seededNumbers(SEED);
    // Many short gestures over one another are a pressure that goes up and down.
    const gestures: Gesture[] = [{ pad: 4, at: SECOND, until: 6 * SECOND, strength: 0.6 }];
    for (let at = 1.2 * SECOND; at < 5.8 * SECOND; at += 50 * MILLISECOND) {
      gestures.push({ pad: 4, at, until: at + 30 * MILLISECOND, strength: 0.6 + 0.1 * random() });
    }
    expect(onsOf(play(KEYS, gestures))).toHaveLength(1);
  });
});

describe('drum pads, from raw readings on', () => {
  /** Taps of one hand after the other on one pad, so many a second. */
  function roll(pad: number, perSecond: number, taps: number, contact: Micros): Gesture[] {
    return Array.from({ length: taps }, (_, i) => {
      const at = SECOND + Math.round((i * SECOND) / perSecond);
      return { pad, at, until: at + contact, strength: i % 2 ? 0.6 : 0.9 };
    });
  }

  it.each([4, 8, 12])('play a roll of %i taps a second, each tap once', (perSecond) => {
    const taps = roll(1, perSecond, 60, 25 * MILLISECOND);
    const heard = play(DRUMS, taps);
    const ons = onsOf(heard);
    expect(ons.map(({ note, how }) => [note, how])).toEqual(taps.map(() => [38, 'hit']));
    ons.forEach(({ t }, i) => {
      expect(t - taps[i]!.at).toBeGreaterThan(0);
      expect(t - taps[i]!.at).toBeLessThanOrEqual(16 * MILLISECOND);
    });
    expectAllEnded(heard);
  });

  it('play a whole beat of two hands and more at once', () => {
    const gestures = [0, 1, 2, 3, 4, 5].flatMap((pad) =>
      roll(pad, 5 + pad / 2, 20, 40 * MILLISECOND),
    );
    const heard = play(DRUMS, gestures);
    for (const { drum } of DRUMS.hits) {
      expect(onsOf(heard).filter(({ note }) => note === drum)).toHaveLength(20);
    }
    expectAllEnded(heard);
  });

  it('sound once for a hand that stays', () => {
    const heard = play(DRUMS, [{ pad: 0, at: SECOND, until: 4 * SECOND, strength: 0.8 }]);
    expect(onsOf(heard)).toHaveLength(1);
    const off = heard.find((event) => event.type === 'off')!;
    expect(off.t - onsOf(heard)[0]!.t).toBe(PLAIN.hits.ring);
  });

  it('sound softer for softer taps', () => {
    const heard = play(DRUMS, roll(1, 4, 40, 40 * MILLISECOND));
    const ons = onsOf(heard).slice(10);
    const mean = (odd: number): number => {
      const own = ons.filter((_, i) => i % 2 === odd).map(({ velocity }) => velocity);
      return own.reduce((sum, velocity) => sum + velocity, 0) / own.length;
    };
    expect(mean(0) - mean(1)).toBeGreaterThan(15);
  });
});
