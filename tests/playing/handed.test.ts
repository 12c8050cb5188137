import { describe, expect, it } from 'vitest';
import { handed } from '../../src/playing/handed.js';
import type { PlayedOff, PlayedOn, WireEvent } from '../../src/wire/scan.js';
import { runStage } from '../support/run-stage.js';

const on = (t: number, voice: number, string = 0): PlayedOn => ({
  type: 'played',
  on: true,
  t,
  voice,
  string,
  note: 40 + voice,
  velocity: 90,
  strength: 0.65,
  fret: voice,
  how: 'pluck',
});
const off = (t: number, voice: number): PlayedOff => ({
  type: 'played',
  on: false,
  t,
  voice,
  slurred: true,
});
const heard = (events: readonly WireEvent[]): (string | number)[][] =>
  runStage(handed(), events).map((event) => [
    event.type,
    event.t,
    ...(event.type === 'off' ? [event.note, event.slurred ? 'slurred' : 'ended'] : []),
    ...(event.type === 'on' ? [event.note] : []),
  ]);

describe('a slur from another computer', () => {
  it('is one where its next note comes with it', () => {
    expect(heard([on(10, 1), off(20, 1), on(20, 2)])).toEqual([
      ['on', 10, 41],
      ['off', 20, 41, 'slurred'],
      ['on', 20, 42],
    ]);
  });

  it.each<[what: string, next: WireEvent[], told: unknown[]]>([
    ['nothing comes', [], [['off', 21, 41, 'ended']]],
    [
      'it comes later',
      [on(30, 2)],
      [
        ['off', 21, 41, 'ended'],
        ['on', 30, 42],
      ],
    ],
    [
      'another string comes',
      [on(20, 2, 3)],
      [
        ['off', 20, 41, 'ended'],
        ['on', 20, 42],
      ],
    ],
    ['its end comes twice', [off(20, 1)], [['off', 20, 41, 'ended']]],
    [
      'all ends',
      [{ type: 'reset', t: 20, why: 'lost' }],
      [
        ['off', 20, 41, 'ended'],
        ['reset', 20],
      ],
    ],
  ])('is an end where %s', (_, next, told) => {
    expect(heard([on(10, 1), off(20, 1), ...next])).toEqual([['on', 10, 41], ...told]);
  });
});
