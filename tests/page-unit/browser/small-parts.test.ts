import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { Scale } from 'tonal';
import { announcer } from '../../../src/page/browser/parts/announce.js';
import { barAt, loudnessWords } from '../../../src/page/browser/room/loudness.js';
import {
  classesOf,
  nameScale,
  SCALE_NAMES,
  SCALES,
} from '../../../src/page/browser/room/scales.js';
import { soundOptions } from '../../../src/page/browser/room/sound-options.js';
import { linkTo, readRoute, type Route } from '../../../src/page/browser/route.js';
import { Shown } from '../../../src/page/browser/drawing/shown.js';
import { en } from '../../../src/page/browser/texts/en.js';
import { madeUpTimers } from './hands.js';

describe('an address on the page', () => {
  it('leads back to where it was made, whatever a seat is called', () => {
    const name = fc.string({ minLength: 1, unit: 'grapheme' });
    const route = fc.oneof(
      fc.constant<Route>({ view: 'room' }),
      fc.constant<Route>({ view: 'takes' }),
      fc.record({ view: fc.constantFrom('seat' as const, 'take' as const), name }),
    );
    fc.assert(
      fc.property(route, (one) => {
        expect(readRoute(linkTo(one))).toEqual({ ...one });
      }),
    );
  });

  it.each(['', '#', '#/', '#/seat', '#/seat/', '#/nowhere', '#main'])(
    'is the room for %j',
    (hash) => {
      expect(readRoute(hash)).toEqual({ view: 'room' });
    },
  );

  it('stands a broken escape', () => {
    expect(readRoute('#/seat/100%')).toEqual({ view: 'seat', name: '100%' });
  });
});

describe('scales', () => {
  const NAMES = {
    major: 'major',
    minor: 'aeolian',
    majorPentatonic: 'major pentatonic',
    minorPentatonic: 'minor pentatonic',
    blues: 'minor blues',
    dorian: 'dorian',
    mixolydian: 'mixolydian',
    harmonicMinor: 'harmonic minor',
    wholeTone: 'whole tone',
  };

  it.each(SCALE_NAMES)('%s has the notes that tonal knows it by', (name) => {
    const chroma = Scale.get(NAMES[name]).chroma;
    const steps = Array.from(chroma).flatMap((digit, step) => (digit === '1' ? [step] : []));
    expect(SCALES[name]).toEqual(steps);
  });

  it('are named as they were chosen, though other names fit too', () => {
    for (const name of SCALE_NAMES) {
      for (let key = 0; key < 12; key++) {
        const one = { name, key };
        expect(nameScale(classesOf(one), one)).toEqual(one);
        const found = nameScale(classesOf(one), null)!;
        expect(classesOf(found)).toEqual(classesOf(one));
      }
    }
  });

  it('have no name where none fits', () => {
    expect(nameScale([0, 1, 2], null)).toBeNull();
  });
});

describe('loudness', () => {
  const ceiling = { peak: -1, loudness: -16 };
  const words = en.room.loudnessWords;

  it('is told in words', () => {
    expect(loudnessWords(null, 0, ceiling, en.room)).toBe(words.silent);
    expect(loudnessWords(-30, 0, ceiling, en.room)).toBe(words.below);
    expect(loudnessWords(-17, 0.2, ceiling, en.room)).toBe(words.near);
    expect(loudnessWords(-16, 3, ceiling, en.room)).toBe(words.held(3));
    expect(loudnessWords(-5, 0, null, en.room)).toBe(words.below);
  });

  it('lies on a bar from silence to full scale', () => {
    expect([null, -90, -60, -30, 0, 6].map(barAt)).toEqual([0, 0, 0, 0.5, 1, 1]);
  });
});

describe('sounds to choose from', () => {
  it('are 128, counted from 1; the basses are 33 to 40 (General MIDI)', () => {
    const groups = soundOptions('strings', en);
    const all = groups.flatMap((one) => ('group' in one ? one.options : one));
    expect(all.map(({ value }) => Number(value))).toEqual(
      Array.from({ length: 128 }, (_, i) => i + 1),
    );
    expect(all.slice(32, 40).every(({ words }) => words.includes('bass'))).toBe(true);
  });

  it('are kits for drums', () => {
    expect(soundOptions('hits', en)[0]).toEqual({ value: '1', words: '1 standard kit' });
  });
});

describe('what is said to those who listen', () => {
  it('is said at once, and not more often than they can follow', () => {
    const { later, pass } = madeUpTimers();
    const { said, say } = announcer(4_000, later);
    say('first');
    expect(said.value).toMatchObject({ words: 'first', more: 0 });
    for (let i = 0; i < 50; i++) say(`fault ${String(i)}`);
    expect(said.value.words).toBe('first');
    pass(4_000);
    expect(said.value).toMatchObject({ words: 'fault 49', more: 49 });
    pass(60_000);
    const { number } = said.value;
    say('fault 49');
    expect(said.value).toEqual({ words: 'fault 49', more: 0, number: number + 1 });
  });
});

describe('what a drawing shows', () => {
  const levels = (level: number, note = 255) => ({
    pads: Uint8Array.of(level),
    touched: Uint8Array.of(level > 100 ? 1 : 0),
    notes: Uint8Array.of(note),
    strengths: Uint8Array.of(9),
    begun: 0,
  });

  it('is painted again only as it changes', () => {
    const shown = new Shown(1, 1, false);
    expect(shown.take(levels(120), 0)).toBe(true);
    expect(shown.take(levels(120), 16)).toBe(false);
    expect(shown.take(levels(120, 40), 32)).toBe(true);
    expect(shown.take(levels(120, 40), 48)).toBe(false);
  });

  it('falls over some frames after a short touch, so that it is seen', () => {
    const shown = new Shown(1, 1, false);
    shown.take(levels(200), 0);
    const seen: number[] = [];
    for (let now = 16; now < 600; now += 16) {
      shown.take(levels(0), now);
      seen.push(shown.pads[0]!);
    }
    expect(seen[0]).toBeGreaterThan(150);
    expect(seen.at(-1)).toBe(0);
    expect(seen).toEqual([...seen].sort((a, b) => b - a));
  });

  it('does not move by itself for those who want no movement', () => {
    const shown = new Shown(1, 1, true);
    shown.take(levels(200), 0);
    shown.take(levels(0), 16);
    expect(shown.pads[0]).toBe(0);
  });
});
