import fc from 'fast-check';
import { Note, Scale } from 'tonal';
import { describe, expect, it } from 'vitest';
import type { NoteEvent } from '../../src/playing/note.js';
import type { RoomChange } from '../../src/room/change.js';
import { nearestInScale, scaleLock } from '../../src/room/scale-lock.js';
import type { Seated } from '../../src/time/alongside.js';
import { runStage } from '../support/run-stage.js';
import { off, on, reset } from './rooms.js';

/** The pitch classes of a scale by name, from tonal 6.4.3, an independent library of music theory. */
const chromas = (name: string): number[] => Scale.get(name).notes.map((note) => Note.chroma(note)!);

const D_DORIAN = chromas('D dorian');
const C_MINOR = chromas('C minor');
const change = (t: number, scale: readonly number[] | null): RoomChange => ({
  type: 'room-change',
  t,
  scale,
});

type In = Seated<NoteEvent> | RoomChange;
function notes(events: In[], scale: readonly number[] | null, drums = [false, false]): unknown[] {
  return runStage(scaleLock(drums, scale), events).map((event) =>
    event.type === 'seated' && event.event.type !== 'reset' && event.event.type !== 'limits'
      ? [event.seat, event.event.type, event.event.note]
      : [event.type],
  );
}

describe('the nearest note of a scale', () => {
  it('is in the scale, as near as any, and of two the lower, for every scale that tonal knows', () => {
    const names = Scale.names().filter((name) => !Scale.get(name).empty);
    const root = fc.constantFrom(...'C Db D Eb E F Gb G Ab A Bb B'.split(' '));
    fc.assert(
      fc.property(
        fc.constantFrom(...names),
        root,
        fc.integer({ min: 0, max: 127 }),
        (name, tonic, note) => {
          const inside = new Set(chromas(`${tonic} ${name}`));
          const all = Array.from({ length: 128 }, (_, n) => n).filter((n) => {
            // tonal says which class a MIDI note is of.
            return inside.has(Note.chroma(Note.fromMidi(n))!);
          });
          const least = Math.min(...all.map((n) => Math.abs(n - note)));
          const wanted = all.find((n) => Math.abs(n - note) === least);
          expect(nearestInScale(note, [...inside])).toBe(wanted);
        },
      ),
      { numRuns: 2_000 },
    );
    expect(names.length).toBeGreaterThan(50);
  });

  it('is found where the scale has one note only, at both ends of the range', () => {
    expect([0, 5, 60, 127].map((note) => nearestInScale(note, [11]))).toEqual([11, 11, 59, 119]);
  });
});

describe('the scale lock', () => {
  it('moves what is outside and its off with it, and nothing else', () => {
    // D dorian has the white keys: C#4 goes to C4, D4 stays.
    const events = [on(1, 0, 0, 61), on(2, 0, 1, 62), off(3, 0, 0, 61), off(4, 0, 1, 62)];
    expect(notes(events, D_DORIAN)).toEqual([
      [0, 'on', 60],
      [0, 'on', 62],
      [0, 'off', 60],
      [0, 'off', 62],
    ]);
  });

  it('ends a note where it began, whatever the scale is by then', () => {
    const events = [
      ...[on(1, 0, 0, 61), on(2, 0, 1, 64), change(3, C_MINOR)],
      ...[off(4, 0, 0, 61), off(5, 0, 1, 64), on(6, 0, 1, 64)],
    ];
    // C minor has E flat: E4 goes to D#4 from then on.
    expect(notes(events, D_DORIAN)).toEqual([
      ...[[0, 'on', 60], [0, 'on', 64], ['room-change']],
      ...[
        [0, 'off', 60],
        [0, 'off', 64],
        [0, 'on', 63],
      ],
    ]);
  });

  it('is switched on and off while people play', () => {
    const events = [
      ...[on(1, 0, 0, 61), off(2, 0, 0, 61), change(3, D_DORIAN), on(4, 0, 0, 61)],
      ...[change(5, null), off(6, 0, 0, 61), on(7, 0, 0, 61), off(8, 0, 0, 61)],
    ];
    const pitches = notes(events, null).flatMap((one) => (one as unknown[])[2] ?? []);
    expect(pitches).toEqual([61, 61, 60, 60, 61, 61]);
  });

  it('leaves drums alone, which are no pitches', () => {
    // General MIDI percussion key 37 would be C#2.
    expect(notes([on(1, 0, 0, 37), on(2, 1, 0, 37)], D_DORIAN, [true, false])).toEqual([
      [0, 'on', 37],
      [1, 'on', 36],
    ]);
  });

  it('keeps seats and strings apart, also after a reset', () => {
    const events = [
      ...[on(1, 0, 0, 61), on(2, 1, 0, 66), reset(3, 0, 'lost'), off(4, 1, 0, 66)],
      ...[change(5, null), on(6, 0, 0, 61), off(7, 0, 0, 61)],
    ];
    expect(notes(events, D_DORIAN)).toEqual([
      ...[[0, 'on', 60], [1, 'on', 65], ['seated'], [1, 'off', 65]],
      ...[['room-change'], [0, 'on', 61], [0, 'off', 61]],
    ]);
  });
});
