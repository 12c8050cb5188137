import { PLAIN } from '../instrument/rules.js';
import type { Instrument, Rules } from '../instrument/types.js';
import { MILLISECOND, type Micros } from '../time/micros.js';

/** A value of a key as the program has it: times are microseconds, `never` is null. */
export type Value = number | string | boolean | null;

/** A key that may be searched. */
export interface FitKey {
  /** Its path in a rules file, such as `touch.on`. */
  readonly key: string;
  /** Values worth a try, in their order; those of the start and of plain are tried besides. */
  readonly values: readonly Value[] | ((rules: Rules) => readonly Value[]);
  /** Left alone where these rules make nothing of it. */
  readonly counts?: (rules: Rules) => boolean;
  /**
   * What it may be changed for: `notes` are right notes alone, `strength` also how well soft and hard
   * are told apart and how late notes begin, but only where the wanted notes say how hard they were
   * meant; left out: right notes, and how late they begin.
   */
  readonly for?: 'notes' | 'strength';
}

const ms = (...values: (number | null)[]): (Micros | null)[] =>
  values.map((value) => (value === null ? null : value * MILLISECOND));

/** Two digits, as a person would write a level. */
const level = (value: number): number => Number(value.toPrecision(2));

const TOUCH: readonly FitKey[] = [
  { key: 'touch.on', values: [0.05, 0.08, 0.12, 0.16, 0.2, 0.25, 0.3, 0.4, 0.5, 0.65] },
  {
    key: 'touch.off',
    values: ({ touch }) => [0.25, 0.4, 0.6, 0.75, 0.9].map((share) => level(share * touch.on)),
  },
];
const LIFT: FitKey = { key: 'touch.lift', values: ms(4, 8, 16, 24, 36, 50, 80) };
const STRENGTH: readonly FitKey[] = [
  { key: 'strength.readings', values: [0, 1, 2, 3], for: 'strength' },
  {
    key: 'strength.within',
    values: ms(8, 16, 24, 40),
    counts: ({ strength }) => strength.readings > 0,
    for: 'strength',
  },
];

const slurs = ({ strings }: Rules): boolean =>
  strings.slide || strings['hammer-on'] || strings['pull-off'];
const slides = ({ strings }: Rules): boolean => strings.slide;

/** Only what decides which notes begin, and when: how long they last is a matter of taste. */
const OF_KIND: Readonly<Record<Instrument['kind'], readonly FitKey[]>> = {
  strings: [
    { key: 'strings.stop', values: ['highest', 'lowest', 'latest'] },
    { key: 'strings.late-fret', values: ms(null, 8, 15, 22, 30, 45) },
    {
      key: 'strings.wait-for-fret',
      values: ['never', 'often', 'always'],
      counts: ({ strings }) => strings['late-fret'] !== null,
    },
    { key: 'strings.early-lift', values: ms(0, 12, 24, 36, 50, 80) },
    { key: 'strings.resting-thumb', values: ms(null, 5, 7, 9, 12, 16, 24) },
    { key: 'strings.brush', values: ms(null, 15, 30, 44, 60, 90) },
    {
      key: 'strings.brush-share',
      values: [0.3, 0.45, 0.6, 0.75, 0.9],
      counts: ({ strings }) => strings.brush !== null,
    },
    { key: 'strings.hammer-on', values: [false, true], for: 'notes' },
    { key: 'strings.pull-off', values: [false, true], for: 'notes' },
    { key: 'strings.slide', values: [false, true], for: 'notes' },
    { key: 'strings.slide-overlap', values: ms(40, 80, 120, 200), counts: slides, for: 'notes' },
    { key: 'strings.slide-gap', values: ms(10, 30, 60, 100), counts: slides, for: 'notes' },
    { key: 'strings.pluck-after', values: ms(null, 60, 90, 130, 180), counts: slurs, for: 'notes' },
    {
      key: 'strings.wait-for-pluck',
      values: ['never', 'often', 'always'],
      counts: (rules) => slurs(rules) && rules.strings['pluck-after'] !== null,
      for: 'notes',
    },
  ],
  keys: [],
  holes: [
    { key: 'holes.settle', values: ms(10, 20, 30, 40, 55, 75, 100) },
    { key: 'holes.mouth-waits', values: [false, true] },
    { key: 'holes.unknown', values: ['keep', 'end'], for: 'notes' },
  ],
  hits: [{ key: 'hits.mask', values: ms(10, 20, 30, 40, 60, 90, 130) }],
};

/** Only where the wanted notes carry velocities. */
const VELOCITY: readonly FitKey[] = [
  { key: 'velocity.softest', values: [1, 10, 20, 30, 40, 50, 60] },
  { key: 'velocity.hardest', values: [70, 85, 100, 115, 127] },
  { key: 'velocity.curve', values: [0.5, 0.7, 1, 1.4, 2, 'square'] },
];

/**
 * The keys that can be searched for a kind of instrument.
 *
 * @param decided the boards decide themselves what is a touch, and how hard: nothing there to search
 * @param velocities the wanted notes carry velocities
 */
export function fitKeys(
  kind: Instrument['kind'],
  { decided = false, velocities = false } = {},
): readonly FitKey[] {
  const pads = decided ? [LIFT] : [...TOUCH, LIFT, ...STRENGTH];
  return [...pads, ...OF_KIND[kind], ...(velocities ? VELOCITY : [])];
}

type Groups = Readonly<Record<string, Readonly<Record<string, unknown>>>>;

function pathOf(key: string): [group: string, name: string] {
  const [group = '', name = ''] = key.split('.');
  return [group, name];
}

export function valueOf(rules: Rules, key: string): Value {
  const [group, name] = pathOf(key);
  return (rules as unknown as Groups)[group]?.[name] as Value;
}

/** The rules with another value; null where a rules file could not say so. */
export function withValue(rules: Rules, key: string, value: Value): Rules | null {
  const [group, name] = pathOf(key);
  const groups = rules as unknown as Groups;
  const changed = { ...rules, [group]: { ...groups[group], [name]: value } } as unknown as Rules;
  const { touch, velocity, strength } = changed;
  if (velocity.softest > velocity.hardest) return null;
  if (strength.readings > 0 && strength.within < MILLISECOND) return null;
  if (touch.off < touch.on) return changed;
  if (key !== 'touch.on') return null;
  // A threshold goes down with its hysteresis, which is as wide as in plain.
  const off = level((touch.on * PLAIN.touch.off) / PLAIN.touch.on);
  return { ...changed, touch: { ...touch, off } };
}

/** The rules, with these keys as in other rules. */
export function withKeysOf(rules: Rules, other: Rules, keys: readonly FitKey[]): Rules {
  // Twice, since a value may only be allowed once another one has made room for it.
  return [...keys, ...keys].reduce(
    (so, { key }) => withValue(so, key, valueOf(other, key)) ?? so,
    rules,
  );
}

/** Which of these keys have another value in `b`. A curve may be a table. */
export function changedKeys(a: Rules, b: Rules, keys: readonly FitKey[]): FitKey[] {
  return keys.filter(({ key }) => !same(valueOf(a, key), valueOf(b, key)));
}

export const same = (a: unknown, b: unknown): boolean => JSON.stringify(a) === JSON.stringify(b);
