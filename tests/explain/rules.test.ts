import { describe, expect, it } from 'vitest';
import type { Instrument } from '../../src/instrument/types.js';
import { padCount } from '../../src/instrument/instrument.js';
import { BASS } from '../support/bass.js';
import { shipped } from '../support/kinds.js';
import {
  decidedBy,
  explainAt,
  notesOf,
  planOf,
  press,
  rulesWith,
  scansOf,
  spelled,
  toldOf,
  type Hand,
  type SomeRules,
} from './hands.js';

const KEYS = shipped('keys-13');
const PIPE = shipped('pipe-8');
const DRUMS = shipped('drums-6');

/** Pads of the A1 string, and the pluck pads beside it. */
const fret = (n: number): number => BASS.strings[2]!.frets[n - 1]!;
const A1 = BASS.strings[2]!.pluck;
const D2 = BASS.strings[1]!.pluck;
const G2 = BASS.strings[0]!.pluck;
const E1 = BASS.strings[3]!.pluck;
const MOUTH = 8;

/**
 * One rule decides. `plays` and `else` are what a plain rerun plays by the rules as they are, and with
 * that rule changed to `change`: pitches, with onsets and ends in ms where they matter, worked out by
 * hand from what `press` says of a finger (it is seen 4 ms after it begins, confirmed 4 ms later, under
 * the lower threshold 8 ms after it begins to leave).
 */
interface Case {
  readonly key: string;
  readonly value: string;
  readonly what: string;
  readonly words: RegExp;
  readonly instrument?: Instrument;
  readonly rules?: SomeRules;
  readonly hands: readonly Hand[];
  readonly at: number;
  readonly plays: readonly string[];
  readonly change: SomeRules;
  readonly else: readonly string[];
}

const ms = (value: number): number => value * 1_000;
const BOTH_FRETS = [press(fret(1), 500, 1_200), press(fret(3), 500, 1_200), press(A1, 800, 880)];
const OPEN_THEN_FRET = [press(A1, 800, 880), press(fret(2), 1_000, 1_300)];
const PULLED = [press(fret(1), 500, 1_300), press(fret(3), 500, 1_000), press(A1, 800, 880)];
const SLID = [press(fret(2), 500, 1_000), press(fret(3), 980, 1_400), press(A1, 800, 880)];
const SLID_APART = [press(fret(2), 500, 1_000), press(fret(3), 1_040, 1_400), press(A1, 800, 880)];
const GRAZED = [press(D2, 800, 880), press(A1, 804, 830, 0.4)];
const slide = { strings: { slide: true } };

const STRINGS: readonly Case[] = [
  {
    key: 'strings.stop',
    value: 'highest',
    what: 'which of two frets',
    hands: BOTH_FRETS,
    at: 800,
    words: /^fret 1 was held too, and fret 3 counts/,
    plays: ['C2'],
    change: { strings: { stop: 'lowest' } },
    else: ['A#1'],
  },
  {
    key: 'strings.hammer-on',
    value: 'false',
    what: 'no note of a fret alone',
    hands: OPEN_THEN_FRET,
    at: 1_000,
    words: /^fret 2 alone sounds nothing/,
    plays: ['A1'],
    change: { strings: { 'hammer-on': true } },
    else: ['A1', 'B1'],
  },
  {
    key: 'strings.hammer-on',
    value: 'true',
    what: 'a note of a fret alone',
    hands: OPEN_THEN_FRET,
    at: 1_000,
    words: /^fret 2 was pressed on the sounding string/,
    rules: { strings: { 'hammer-on': true } },
    plays: ['A1', 'B1'],
    change: { strings: { 'hammer-on': false } },
    else: ['A1'],
  },
  {
    key: 'strings.pull-off',
    value: 'false',
    what: 'no note of a fret let go',
    hands: PULLED,
    at: 1_000,
    words: /^letting go of fret 3 sounds nothing/,
    plays: ['C2'],
    change: { strings: { 'pull-off': true } },
    else: ['C2', 'A#1'],
  },
  {
    key: 'strings.pull-off',
    value: 'true',
    what: 'a note of a fret let go',
    hands: PULLED,
    at: 1_000,
    words: /^a fret was let go, and fret 1 was held below it/,
    rules: { strings: { 'pull-off': true } },
    plays: ['C2', 'A#1'],
    change: { strings: { 'pull-off': false } },
    else: ['C2'],
  },
  {
    key: 'strings.slide',
    value: 'true',
    what: 'a slide',
    hands: SLID,
    at: 1_000,
    words: /^the finger went on to fret 3 beside it/,
    rules: slide,
    plays: ['B1', 'C2'],
    change: { strings: { slide: false } },
    else: ['B1'],
  },
  {
    key: 'strings.slide-overlap',
    value: '120ms',
    what: 'a slide that holds both frets',
    hands: SLID,
    at: 1_000,
    words: /^the finger went on to fret 3 beside it/,
    rules: slide,
    plays: ['B1', 'C2'],
    change: { strings: { 'slide-overlap': 0 } },
    else: ['B1'],
  },
  {
    key: 'strings.slide-gap',
    value: '30ms',
    what: 'a slide that leaves the string',
    hands: SLID_APART,
    at: 1_040,
    words: /^the finger went on to fret 3 beside it/,
    rules: slide,
    plays: ['B1', 'C2'],
    change: { strings: { 'slide-gap': 0 } },
    else: ['B1'],
  },
  {
    key: 'strings.slide-gap',
    value: '30ms',
    what: 'no slide: it came too late',
    hands: [press(fret(2), 500, 1_000), press(A1, 800, 880)],
    at: 1_040,
    words: /^its fret was let go, and no slide came after it/,
    rules: slide,
    plays: ['B1 808-1062'],
    change: { strings: { 'slide-gap': ms(100) } },
    else: ['B1 808-1132'],
  },
  {
    key: 'strings.ring',
    value: '4s',
    what: 'the end of an open string',
    hands: [press(A1, 800, 880)],
    at: 4_808,
    words: /^it had rung for 4\.00 s/,
    plays: ['A1 808-4808'],
    change: { strings: { ring: ms(4_100) } },
    else: ['A1 808-4908'],
  },
  {
    key: 'strings.damp-by-fret',
    value: 'true',
    what: 'a fret on an open string',
    hands: OPEN_THEN_FRET,
    at: 1_000,
    words: /^fret 2 was pressed, which damps/,
    plays: ['A1 808-1008'],
    change: { strings: { 'damp-by-fret': false } },
    else: ['A1 808-4808'],
  },
  {
    key: 'strings.damp-by-hold',
    value: '400ms',
    what: 'a pluck pad that is held',
    hands: [press(A1, 800, 1_500)],
    at: 1_200,
    words: /^the pluck pad was held for 400 ms/,
    rules: { strings: { 'damp-by-hold': ms(400) } },
    plays: ['A1 808-1204'],
    change: { strings: { 'damp-by-hold': null } },
    else: ['A1 808-4808'],
  },
  {
    key: 'strings.late-fret',
    value: '22ms',
    what: 'a fret just after its pluck',
    hands: [press(A1, 800, 880), press(fret(2), 816, 1_200)],
    at: 820,
    words: /^fret 2 came 16\.0 ms after the pluck, and the pluck was meant for it/,
    plays: ['A1', 'B1'],
    change: { strings: { 'late-fret': null } },
    else: ['A1'],
  },
  {
    key: 'strings.late-fret',
    value: '22ms',
    what: 'a fret too long after its pluck',
    hands: [press(A1, 800, 880), press(fret(2), 840, 1_200)],
    at: 820,
    words: /^fret 2 came 40\.0 ms after the pluck, too late to count/,
    plays: ['A1'],
    change: { strings: { 'late-fret': ms(60) } },
    else: ['A1', 'B1'],
  },
  {
    key: 'strings.wait-for-fret',
    value: 'always',
    what: 'a pluck that waits',
    hands: [press(A1, 800, 880)],
    at: 820,
    words: /^the pluck waited 18\.0 ms for a fret/,
    rules: { strings: { 'wait-for-fret': 'always' } },
    plays: ['A1 826-4826'],
    change: { strings: { 'wait-for-fret': 'never' } },
    else: ['A1 808-4808'],
  },
  {
    key: 'strings.wait-for-pluck',
    value: 'always',
    what: 'a hammer-on that waits',
    hands: [press(A1, 800, 880), press(fret(2), 1_000, 1_300)],
    at: 1_140,
    words: /^it waited 130 ms for a pluck, and none came/,
    rules: { strings: { 'hammer-on': true, 'wait-for-pluck': 'always' } },
    plays: ['A1 808-1138', 'B1 1138-1332'],
    change: { strings: { 'wait-for-pluck': 'never' } },
    else: ['A1 808-1008', 'B1 1008-1332'],
  },
  {
    key: 'strings.pluck-after',
    value: '130ms',
    what: 'how long a hammer-on waits',
    hands: [press(A1, 800, 880), press(fret(2), 1_000, 1_300)],
    at: 1_140,
    words: /^it waited 130 ms for a pluck, and none came/,
    rules: { strings: { 'hammer-on': true, 'wait-for-pluck': 'always' } },
    plays: ['A1 808-1138', 'B1 1138-1332'],
    change: { strings: { 'pluck-after': null } },
    else: ['A1 808-1008', 'B1 1008-1332'],
  },
  {
    key: 'strings.wait-for-pluck',
    value: 'always',
    what: 'a fret that waits for its pluck',
    hands: [press(A1, 800, 880), press(fret(2), 1_000, 1_100)],
    at: 1_010,
    words: /^fret 2 waited for a pluck to sound it/,
    rules: { strings: { 'hammer-on': true, 'wait-for-pluck': 'always' } },
    plays: ['A1'],
    change: { strings: { 'wait-for-pluck': 'never' } },
    else: ['A1', 'B1'],
  },
  {
    key: 'strings.early-lift',
    value: '36ms',
    what: 'a fret let go just before its pluck',
    hands: [press(fret(2), 500, 792), press(A1, 808, 880)],
    at: 816,
    words: /^fret 2 had let go 12\.0 ms before, and still counts/,
    plays: ['B1'],
    change: { strings: { 'early-lift': 0 } },
    else: ['A1'],
  },
  {
    key: 'strings.early-lift',
    value: '36ms',
    what: 'a fret let go too long before it',
    hands: [press(fret(2), 500, 792), press(A1, 860, 940)],
    at: 868,
    words: /^fret 2 had let go 64\.0 ms before, too early to count/,
    plays: ['A1'],
    change: { strings: { 'early-lift': ms(90) } },
    else: ['B1'],
  },
  {
    key: 'strings.resting-thumb',
    value: '9ms',
    what: 'a thumb that is laid down',
    hands: [
      { pad: A1, points: [...[[800, 0] as const, [900, 0.6] as const], [1_500, 0.6], [1_508, 0]] },
    ],
    at: 850,
    words: /^the finger took \d\d\.\d ms to land, so it only rests there/,
    plays: [],
    change: { strings: { 'resting-thumb': null } },
    else: ['A1'],
  },
  {
    key: 'strings.brush',
    value: '44ms',
    what: 'a finger that grazes the next string',
    hands: GRAZED,
    at: 820,
    words: /^weak, at 0\.40, beside a firm pluck of D2, at 1\.00, and over after/,
    plays: ['D2'],
    change: { strings: { brush: null } },
    else: ['D2', 'A1'],
  },
  {
    key: 'strings.brush',
    value: '44ms',
    what: 'a soft note of a chord, which waits',
    hands: [press(D2, 800, 900), press(A1, 804, 900, 0.4)],
    at: 820,
    words: /^it waited 40\.0 ms to be told from a brush/,
    plays: ['D2 808-4808', 'A1 852-4852'],
    change: { strings: { brush: null } },
    else: ['D2 808-4808', 'A1 812-4812'],
  },
  {
    key: 'strings.brush-share',
    value: '0.75',
    what: 'how weak that is',
    hands: GRAZED,
    at: 820,
    words: /it only brushed the string/,
    plays: ['D2'],
    change: { strings: { 'brush-share': 0.3 } },
    else: ['D2', 'A1'],
  },
];

/** The first two holes are closed all the time: B5. */
const TWO = [press(0, 500, 1_800), press(1, 500, 1_800)];
const BLOWN = press(MOUTH, 800, 1_500);
const TAPPED = [press(0, 800, 808), press(0, 828, 900)];

const OTHERS: readonly Case[] = [
  {
    key: 'keys.ring-on',
    value: '0ms',
    what: 'the end of a key',
    instrument: KEYS,
    hands: [press(0, 800, 1_000)],
    at: 1_000,
    words: /^the finger left its key/,
    plays: ['C4 808-1032'],
    change: { keys: { 'ring-on': ms(100) } },
    else: ['C4 808-1132'],
  },
  {
    key: 'keys.ring-on',
    value: '200ms',
    what: 'a key that rings on',
    instrument: KEYS,
    hands: [press(0, 800, 1_000)],
    at: 1_200,
    words: /^the finger had left its key/,
    rules: { keys: { 'ring-on': ms(200) } },
    plays: ['C4 808-1232'],
    change: { keys: { 'ring-on': 0 } },
    else: ['C4 808-1032'],
  },
  {
    key: 'holes.settle',
    value: '55ms',
    what: 'a fingering met half-way',
    instrument: PIPE,
    hands: [...TWO, BLOWN, press(2, 1_000, 1_800), press(3, 1_032, 1_800)],
    at: 1_000,
    words: /^the fingers did not rest on xxxooooo for long enough/,
    plays: ['B5', 'G5'],
    change: { holes: { settle: 0 } },
    else: ['B5', 'A5', 'G5'],
  },
  {
    key: 'holes.settle',
    value: '55ms',
    what: 'a fingering that rests',
    instrument: PIPE,
    hands: [...TWO, BLOWN, press(2, 1_000, 1_800)],
    at: 1_050,
    words: /^the fingers rested at xxxooooo for 55\.0 ms while the pipe was blown/,
    plays: ['B5 859-1059', 'A5 1059-1532'],
    change: { holes: { settle: ms(80) } },
    else: ['B5 884-1084', 'A5 1084-1532'],
  },
  {
    key: 'holes.mouth-waits',
    value: 'true',
    what: 'a mouth that waits',
    instrument: PIPE,
    hands: [...TWO, BLOWN],
    at: 850,
    words: /^it waited 51\.0 ms for the fingers/,
    plays: ['B5 859-1532'],
    change: { holes: { 'mouth-waits': false } },
    else: ['B5 808-1532'],
  },
  {
    key: 'holes.unknown',
    value: 'end',
    what: 'no such fingering',
    instrument: PIPE,
    hands: [...TWO, BLOWN, press(5, 1_000, 1_800)],
    at: 1_060,
    words: /^the chart has no fingering xxoooxoo/,
    rules: { holes: { unknown: 'end' } },
    plays: ['B5 859-1059'],
    change: { holes: { unknown: 'keep' } },
    else: ['B5 859-1532'],
  },
  {
    key: 'hits.mask',
    value: '40ms',
    what: 'a second hit too soon',
    instrument: DRUMS,
    hands: TAPPED,
    at: 830,
    words: /^it came 28\.0 ms after the hit before, for which/,
    rules: { touch: { lift: 0 } },
    plays: ['C2'],
    change: { hits: { mask: 0 } },
    else: ['C2', 'C2'],
  },
  {
    key: 'hits.mask',
    value: '10ms',
    what: 'a second hit after the mask',
    instrument: DRUMS,
    hands: TAPPED,
    at: 836,
    words: /^its pad was hit/,
    rules: { touch: { lift: 0 }, hits: { mask: ms(10) } },
    plays: ['C2', 'C2'],
    change: { hits: { mask: ms(60) } },
    else: ['C2'],
  },
  {
    key: 'hits.ring',
    value: '400ms',
    what: 'the end of a hit',
    instrument: DRUMS,
    hands: [press(0, 800, 850)],
    at: 1_208,
    words: /^a hit lasts so long/,
    plays: ['C2 808-1208'],
    change: { hits: { ring: ms(500) } },
    else: ['C2 808-1308'],
  },
  {
    key: 'touch.on',
    value: '0.2',
    what: 'a touch too light',
    hands: [press(A1, 800, 880, 0.17)],
    at: 820,
    words: /^level 0\.17 stayed under touch\.on 0\.2$/,
    plays: [],
    change: { touch: { on: 0.16 } },
    else: ['A1'],
  },
  {
    key: 'touch.on',
    value: '0.2',
    what: 'a light touch that counts',
    hands: [press(A1, 800, 880, 0.25)],
    at: 820,
    words: /^the touch was weak, level 0\.2/,
    plays: ['A1'],
    change: { touch: { on: 0.3 } },
    else: [],
  },
  {
    key: 'touch.on',
    value: '0.2',
    what: 'a fret pressed too lightly',
    hands: [press(fret(2), 500, 1_200, 0.18), press(A1, 800, 880)],
    at: 808,
    words: /^fret 2 reached level 0\.18 only, under the 0\.20 at which a touch begins/,
    plays: ['A1'],
    change: { touch: { on: 0.16 } },
    else: ['B1'],
  },
  {
    key: 'touch.off',
    value: '0.12',
    what: 'a finger that is not quite off',
    hands: [
      press(A1, 800, 900),
      {
        pad: A1,
        points: [...[[900, 1] as const, [908, 0.16] as const], [924, 0.16], [932, 1], [990, 1]],
      },
    ],
    at: 920,
    words: /^the level fell only to 0\.16, not under 0\.12/,
    rules: { touch: { lift: 0 } },
    plays: ['A1'],
    change: { touch: { off: 0.18 } },
    else: ['A1', 'A1'],
  },
  {
    key: 'touch.lift',
    value: '24ms',
    what: 'a pad let go for a moment',
    hands: [press(A1, 800, 900), press(A1, 920, 1_000)],
    at: 910,
    words: /^let go for only 16\.0 ms, so it is still the touch before/,
    plays: ['A1'],
    change: { touch: { lift: 0 } },
    else: ['A1', 'A1'],
  },
  {
    key: 'voices.most',
    value: '2',
    what: 'one note too many',
    hands: [press(G2, 800, 880), press(A1, 900, 980), press(E1, 1_000, 1_080)],
    at: 1_000,
    rules: { voices: { most: 2 } },
    words: /^it gave its place to E1: too many notes sounded/,
    plays: ['G2 808-1008', 'A1 908-4908', 'E1 1008-5008'],
    change: { voices: { most: 3 } },
    else: ['G2 808-4808', 'A1 908-4908', 'E1 1008-5008'],
  },
  {
    key: 'voices.keep',
    value: 'lowest',
    what: 'a note that is not kept',
    hands: [press(E1, 800, 880), press(A1, 900, 980), press(G2, 1_000, 1_080)],
    at: 1_000,
    rules: { voices: { most: 2, keep: 'lowest' } },
    words: /^there was no place for it/,
    plays: ['E1', 'A1'],
    change: { voices: { keep: 'latest' } },
    else: ['E1', 'A1', 'G2'],
  },
];

/** Whether notes are as a case says: pitches, or pitches with their times. */
function expectNotes(notes: readonly string[], wanted: readonly string[]): void {
  expect(notes.map((one, i) => (wanted[i]?.includes(' ') ? one : one.split(' ')[0]!))).toEqual(
    wanted,
  );
}

describe.each([
  ['strings', STRINGS],
  ['other kinds, touches and voices', OTHERS],
] as const)('explain names the rule that decides: %s', (_group, cases) => {
  it.each(cases.map((one) => [`${one.key} ${one.value}`, one.what, one] as const))(
    '%s: %s',
    async (named, _what, one) => {
      const { instrument = BASS, hands, at } = one;
      const rules = rulesWith(one.rules ?? {});
      const events = scansOf(padCount(instrument), hands, 5_600);
      const plan = planOf(instrument, rules);
      // By plain reruns, the rule does decide.
      expectNotes(spelled(notesOf(events, plan)), one.plays);
      const changed = { ...plan, rules: rulesWith(one.change, rules) };
      expectNotes(spelled(notesOf(events, changed)), one.else);
      // And so it says.
      const explained = await explainAt(events, plan, at);
      expect(decidedBy(explained)).toContain(named);
      const told = toldOf(explained).filter((words) => one.words.test(words));
      expect(told.length, toldOf(explained).join('\n')).toBeGreaterThan(0);
      expect(told.some((words) => words.includes(named))).toBe(true);
    },
  );

  it('has a case for every key of its groups', () => {
    const groups = new Set(cases.map(({ key }) => key.split('.')[0]!));
    const rules = rulesWith({}) as unknown as Record<string, object>;
    const all = [...groups].flatMap((group) =>
      Object.keys(rules[group]!).map((key) => `${group}.${key}`),
    );
    const covered = new Set(cases.map(({ key }) => key));
    expect(all.filter((key) => !covered.has(key))).toEqual([]);
  });
});
