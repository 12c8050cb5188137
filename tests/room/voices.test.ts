import { describe, expect, it } from 'vitest';
import type { Rules } from '../../src/instrument/types.js';
import type { NoteEvent } from '../../src/playing/note.js';
import { voices } from '../../src/room/voices.js';
import { plainRoom } from '../../src/room/plan.js';
import type { RoomChange } from '../../src/room/change.js';
import type { VoiceEvent } from '../../src/room/voice.js';
import type { Seated } from '../../src/time/alongside.js';
import { runStage } from '../support/run-stage.js';

let now = 0;
const on = (string: number, note: number, strength = 0.5): NoteEvent => ({
  type: 'on',
  t: ++now,
  note,
  velocity: 64,
  strength,
  string,
  fret: 0,
  how: 'pluck',
});
const off = (string: number, note: number, slurred = false): NoteEvent => ({
  type: 'off',
  t: ++now,
  note,
  string,
  slurred,
});
const reset = (why: 'silence' | 'lost' | 'fault'): NoteEvent => ({ type: 'reset', t: ++now, why });
const seated = (seat: number, event: NoteEvent): Seated<NoteEvent> => ({
  type: 'seated',
  t: event.t,
  seat,
  event,
});
const brief = (event: VoiceEvent | RoomChange): unknown[] =>
  event.type === 'on' || event.type === 'off'
    ? [event.type, event.note, event.voice]
    : [event.type];

function play(limit: Rules['voices'], events: NoteEvent[]): unknown[] {
  return runStage(
    voices([limit], plainRoom(1)),
    events.map((event) => seated(0, event)),
  ).map(brief);
}

describe('voices', () => {
  const four = [on(0, 43, 0.9), on(1, 40, 0.1), on(2, 36, 0.6)];
  it.each([
    // Two may sound: who yields to the third, and whether it sounds at all.
    [
      'latest',
      [
        ['on', 43, 1],
        ['on', 40, 2],
        ['off', 43, 1],
        ['on', 36, 3],
      ],
    ],
    [
      'lowest',
      [
        ['on', 43, 1],
        ['on', 40, 2],
        ['off', 43, 1],
        ['on', 36, 3],
      ],
    ],
    [
      'highest',
      [
        ['on', 43, 1],
        ['on', 40, 2],
      ],
    ],
    [
      'loudest',
      [
        ['on', 43, 1],
        ['on', 40, 2],
        ['off', 40, 2],
        ['on', 36, 3],
      ],
    ],
  ] as const)('keeps the %s under a limit', (keep, expected) => {
    expect(play({ most: 2, keep }, four)).toEqual(expected);
  });

  it('passes over the off of a note that yielded or never sounded', () => {
    const events = [...four, off(0, 43), off(1, 40), off(2, 36)];
    expect(play({ most: 2, keep: 'latest' }, events).slice(4)).toEqual([
      ['off', 40, 2],
      ['off', 36, 3],
    ]);
    expect(play({ most: 2, keep: 'highest' }, events).slice(2)).toEqual([
      ['off', 43, 1],
      ['off', 40, 2],
    ]);
  });

  it('always lets a slur go on in the place of the note that it carries on', () => {
    const events = [on(0, 28), on(1, 33), off(1, 33, true), on(1, 47)];
    expect(play({ most: 2, keep: 'lowest' }, events)).toEqual([
      ['on', 28, 1],
      ['on', 33, 2],
      ['off', 33, 2],
      ['on', 47, 3],
    ]);
  });

  it('keeps the seats’ limits apart and ends only the seat that was reset', () => {
    const both = voices(
      [
        { most: 1, keep: 'latest' },
        { most: 1, keep: 'latest' },
      ],
      plainRoom(2),
    );
    const events = [seated(0, on(0, 28)), seated(1, on(0, 33)), seated(0, reset('fault'))];
    expect(runStage(both, events).map(brief)).toEqual([
      ['on', 28, 1],
      ['on', 33, 2],
      ['off', 28, 1],
    ]);
  });

  it('says silence once the whole room is quiet', () => {
    const both = voices(
      [
        { most: 4, keep: 'latest' },
        { most: 4, keep: 'latest' },
      ],
      plainRoom(2),
    );
    const events = [
      seated(0, on(0, 28)),
      seated(1, on(0, 33)),
      seated(0, reset('silence')),
      seated(1, reset('silence')),
    ];
    expect(runStage(both, events).map(brief).slice(2)).toEqual([
      ['off', 28, 1],
      ['off', 33, 2],
      ['silence'],
    ]);
  });
});
