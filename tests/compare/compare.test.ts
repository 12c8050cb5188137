import { describe, expect, it } from 'vitest';
import { PLAIN } from '../../src/instrument/rules.js';
import type { VoiceEvent } from '../../src/room/voice.js';
import {
  CHANGE_KINDS,
  compareNotes,
  isAnotherNote,
  SAME_TIME,
  type Change,
} from '../../src/compare/compare.js';
import { judge } from '../../src/compare/judge.js';
import { playedNotes, type PlayedNote } from '../../src/compare/notes.js';
import { compareRules } from '../../src/compare/rules.js';
import { sameWithin } from '../../src/compare/within.js';
import type { ListedNote } from '../../src/takes/read-notes.js';
import { note } from '../score/notes.js';
import { played } from './hands.js';

function changes(a: readonly PlayedNote[], b: readonly PlayedNote[]): (readonly Change[])[] {
  return compareNotes(a, b).map((one) => one.changes);
}

describe('what differs', () => {
  it.each<[string, PlayedNote[], PlayedNote[], Change[]]>([
    ['nothing', [played(100)], [played(100)], []],
    ['missed', [played(100)], [], [{ kind: 'missed', by: null }]],
    ['added', [], [played(100)], [{ kind: 'added', by: null }]],
    ['higher', [played(100)], [played(100, 300, 36)], [{ kind: 'pitch', by: 3 }]],
    ['lower', [played(100, 300, 36)], [played(100)], [{ kind: 'pitch', by: -3 }]],
    ['earlier', [played(104, 300)], [played(100, 300)], [{ kind: 'earlier', by: 4_000 }]],
    ['later', [played(100, 300)], [played(112.5, 300)], [{ kind: 'later', by: 12_500 }]],
    ['louder', [played(1)], [played(1, 201, 33, { velocity: 97 })], [{ kind: 'louder', by: 7 }]],
    ['softer', [played(1)], [played(1, 201, 33, { velocity: 20 })], [{ kind: 'softer', by: 70 }]],
    ['longer', [played(100, 300)], [played(100, 450)], [{ kind: 'longer', by: 150_000 }]],
    ['shorter', [played(100, 300)], [played(100, 298)], [{ kind: 'shorter', by: 2_000 }]],
    [
      'all at once',
      [played(100, 300)],
      [played(110, 330, 34, { velocity: 100 })],
      [
        { kind: 'pitch', by: 1 },
        { kind: 'later', by: 10_000 },
        { kind: 'louder', by: 10 },
        { kind: 'longer', by: 20_000 },
      ],
    ],
  ])('is told: %s', (_name, a, b, expected) => {
    expect(changes(a, b)).toEqual([expected]);
  });

  it('is the same the other way round, with opposite words', () => {
    const a = [played(100, 300), played(500, 700), played(900, 999, 33, { velocity: 20 })];
    const b = [played(108, 330), played(900, 950, 36), played(1_500)];
    const opposite: Record<string, string> = {
      missed: 'added',
      added: 'missed',
      earlier: 'later',
      later: 'earlier',
      pitch: 'pitch',
      louder: 'softer',
      softer: 'louder',
      longer: 'shorter',
      shorter: 'longer',
    };
    expect(Object.keys(opposite).sort()).toEqual([...CHANGE_KINDS].sort());
    const turned = changes(b, a).map((list) =>
      list.map(({ kind, by }) => ({ kind: opposite[kind], by: kind === 'pitch' ? -by! : by })),
    );
    expect(turned).toEqual(changes(a, b));
  });

  it('leaves out times that nobody can tell, up to a millisecond', () => {
    expect(SAME_TIME).toBe(1_000);
    expect(changes([played(100, 300)], [played(101, 299)])).toEqual([[]]);
    expect(changes([played(100, 300)], [played(101.001, 301.001)])).toEqual([
      [{ kind: 'later', by: 1_001 }],
    ]);
  });

  it('says longer or shorter only where the end moves too', () => {
    // Moved as a whole, and begun later with the same end.
    expect(changes([played(100, 300)], [played(110, 310)])).toEqual([
      [{ kind: 'later', by: 10_000 }],
    ]);
    expect(changes([played(100, 300)], [played(110, 300)])).toEqual([
      [{ kind: 'later', by: 10_000 }],
    ]);
  });

  it('tells what everybody hears from what only differs', () => {
    const heard = (a: PlayedNote[], b: PlayedNote[]): boolean[] =>
      compareNotes(a, b).map(isAnotherNote);
    expect(heard([played(1)], [])).toEqual([true]);
    expect(heard([], [played(1)])).toEqual([true]);
    expect(heard([played(1)], [played(1, 201, 40)])).toEqual([true]);
    expect(heard([played(1)], [played(30, 300, 33, { velocity: 3 })])).toEqual([false]);
  });

  it('takes a note as the same at another distance where it is asked to', () => {
    const [a, b] = [[played(100, 300)], [played(170, 300)]];
    expect(compareNotes(a, b)).toHaveLength(2);
    expect(compareNotes(a, b, 70_000)).toHaveLength(1);
  });
});

describe('the notes of a run', () => {
  const on = (t: number, voice: number): VoiceEvent => ({
    type: 'on',
    t,
    voice,
    seat: 0,
    note: 35,
    velocity: 80,
    strength: 0.6,
    string: 2,
    fret: 2,
    how: 'hammer',
  });

  it('have all that their events say, and their ends', () => {
    const off = { type: 'off', t: 9_000, voice: 1, seat: 0, note: 35, string: 2, slurred: false };
    const [one, other] = playedNotes([
      on(5_000, 1),
      off as VoiceEvent,
      on(9_500, 2),
      { type: 'silence', t: 12_000 },
    ]);
    expect(one).toEqual({
      onset: 5_000,
      offset: 9_000,
      note: 35,
      velocity: 80,
      strength: 0.6,
      string: 2,
      fret: 2,
      how: 'hammer',
      voice: 1,
    });
    expect(other!.offset).toBe(12_000);
  });
});

describe('which side is right', () => {
  function right(a: PlayedNote[], b: PlayedNote[], wanted: ListedNote[]) {
    return judge(compareNotes(a, b), wanted).verdicts;
  }

  it.each([
    ['a wanted note that B misses', [played(100)], [], [note(90)], 'A'],
    ['an unwanted note that B leaves out', [played(100)], [], [], 'B'],
    ['a wanted note that only B has', [], [played(100)], [note(90)], 'B'],
    ['a note that B adds', [], [played(100)], [], 'A'],
    ['the wanted pitch in A', [played(100)], [played(100, 300, 34)], [note(90)], 'A'],
    ['the wanted pitch in B', [played(100)], [played(100, 300, 34)], [note(90, null, 34)], 'B'],
    ['no wanted pitch', [played(100)], [played(100, 300, 34)], [note(90, null, 40)], 'neither'],
    ['two times in reach', [played(100)], [played(110)], [note(90)], 'both'],
    ['a time out of reach', [played(100)], [played(145)], [note(90)], 'A'],
  ])('%s', (_name, a, b, wanted, expected) => {
    expect(right(a, b, wanted).map((one) => one.right)).toEqual([expected]);
  });

  it('is nearer in what the wanted notes tell', () => {
    const a = [played(100, 300, 33, { velocity: 60 })];
    const b = [played(110, 350, 33, { velocity: 90 })];
    const [all] = right(a, b, [note(112, 320, 33, { velocity: 70 })]);
    expect(all).toEqual({ right: 'both', nearer: { later: 'B', louder: 'A', longer: 'A' } });
    const [some] = right(a, b, [note(95)]);
    expect(some).toEqual({ right: 'both', nearer: { later: 'A' } });
    const [even] = right(a, b, [note(105)]);
    expect(even!.nearer).toEqual({});
  });

  it('comes with both scores', () => {
    const wanted = [note(100), note(500), note(900)];
    const a = [played(100), played(500)];
    const b = [played(100), played(500), played(900), played(1_300)];
    const judged = judge(compareNotes(a, b), wanted);
    // F = 2 · right / (played + wanted).
    expect(judged.a.f).toBeCloseTo((2 * 2) / (2 + 3), 12);
    expect(judged.b.f).toBeCloseTo((2 * 3) / (4 + 3), 12);
    expect(judged.verdicts.map((one) => one.right)).toEqual(['both', 'both', 'B', 'A']);
  });
});

describe('which rules differ', () => {
  const other = {
    ...PLAIN,
    name: 'other',
    touch: { ...PLAIN.touch, lift: 30_000 },
    strings: { ...PLAIN.strings, 'hammer-on': true, 'damp-by-hold': 400_000 },
    keys: { 'ring-on': 20_000 },
  };

  it('are told key by key, as a file gives them', () => {
    expect(compareRules(PLAIN, PLAIN, 'strings')).toEqual([]);
    expect(compareRules(PLAIN, { ...PLAIN, name: 'x' }, 'strings')).toEqual([]);
    const found = compareRules(PLAIN, other, 'strings');
    expect(found.map(({ key, a, b, matters }) => [key, a, b, matters])).toEqual([
      ['touch.lift', '24ms', '30ms', true],
      ['strings.hammer-on', 'false', 'true', true],
      ['strings.damp-by-hold', 'never', '400ms', true],
      ['keys.ring-on', expect.stringMatching(/^0/), '20ms', false],
    ]);
    for (const { about } of found) expect(about).toMatch(/\w.*\.$/);
  });

  it('matter by the kind of instrument', () => {
    const matter = compareRules(PLAIN, other, 'keys').filter(({ matters }) => matters);
    expect(matter.map(({ key }) => key)).toEqual(['touch.lift', 'keys.ring-on']);
  });
});

describe('how far apart one and the same note may begin', () => {
  const ms = (rules: Partial<typeof PLAIN>, other: Partial<typeof PLAIN> = {}): number =>
    sameWithin({ ...PLAIN, ...rules }, { ...PLAIN, ...other }) / 1_000;
  const { strength, strings, holes } = PLAIN;

  it('is 50 ms, as in scoring, where neither waits longer', () => {
    expect(ms({})).toBe(50);
    expect(ms({ velocity: { ...PLAIN.velocity, hardest: 90 } })).toBe(50);
  });

  it('is as much more as one rule set waits longer', () => {
    expect(ms({ holes: { ...holes, settle: 5_000 } })).toBe(50 + holes.settle / 1_000 - 5);
    expect(ms({ holes: { ...holes, 'mouth-waits': false } })).toBe(50 + holes.settle / 1_000);
    expect(ms({ strings: { ...strings, brush: null } })).toBe(50 + strings.brush! / 1_000);
    const hasty = { ...strings, brush: null, 'wait-for-fret': 'never' } as const;
    const both = (strings.brush! + strings['late-fret']!) / 1_000;
    expect(ms({ strings: hasty })).toBe(50 + both);
    expect(ms({}, { strings: hasty })).toBe(50 + both);
    expect(ms({ strength: { ...strength, readings: 0 } })).toBe(50 + strength.within / 1_000);
    expect(ms({ strength: { ...strength, readings: 3 } })).toBe(50 + strength.within / 1_000);
  });

  it('is a second at the most', () => {
    expect(ms({ holes: { ...holes, settle: 1_000_000 } }, { holes: { ...holes, settle: 0 } })).toBe(
      1_000,
    );
  });
});
