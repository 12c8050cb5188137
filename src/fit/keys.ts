import { RULE_LIST } from '../instrument/rule-table.js';
import { PLAIN } from '../instrument/rules.js';
import type { Instrument, Rules } from '../instrument/types.js';
import { MILLISECOND } from '../time/micros.js';

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

/** Two digits, as a person would write a level. */
const level = (value: number): number => Number(value.toPrecision(2));

const slurs = ({ strings }: Rules): boolean =>
  strings.slide || strings['hammer-on'] || strings['pull-off'];
const slides = ({ strings }: Rules): boolean => strings.slide;

/** Which of the other rules have to be set so that a rule counts at all. */
const COUNTS: Readonly<Record<string, (rules: Rules) => boolean>> = {
  'strength.within': ({ strength }) => strength.readings > 0,
  'strings.slide-overlap': slides,
  'strings.slide-gap': slides,
  'strings.pluck-after': slurs,
  'strings.wait-for-pluck': (rules) => slurs(rules) && rules.strings['pluck-after'] !== null,
  'strings.wait-for-fret': ({ strings }) => strings['late-fret'] !== null,
  'strings.brush-share': ({ strings }) => strings.brush !== null,
};

/** Values that hang on those of other rules. */
const VALUES: Readonly<Record<string, (rules: Rules) => readonly Value[]>> = {
  'touch.off': ({ touch }) => [0.25, 0.4, 0.6, 0.75, 0.9].map((share) => level(share * touch.on)),
};

/** All rules of a group that `fit` may try; those that only right notes speak for come last. */
function keysOf(group: string): readonly FitKey[] {
  const keys = RULE_LIST.flatMap(({ key, group: of, rule }): FitKey[] => {
    if (of !== group || !rule.tries) return [];
    const inUnit = (value: Value): Value =>
      rule.is === 'time' && typeof value === 'number' ? value * MILLISECOND : value;
    const counts = COUNTS[key];
    return [
      {
        key,
        values: VALUES[key] ?? rule.tries.map(inUnit),
        ...(counts ? { counts } : {}),
        ...(rule.triedFor ? { for: rule.triedFor } : {}),
      },
    ];
  });
  const last = (one: FitKey): boolean => one.for === 'notes';
  return [...keys.filter((one) => !last(one)), ...keys.filter(last)];
}

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
  const touch = keysOf('touch');
  const pads = decided
    ? touch.filter(({ key }) => key === 'touch.lift')
    : [...touch, ...keysOf('strength')];
  return [...pads, ...keysOf(kind), ...(velocities ? keysOf('velocity') : [])];
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
