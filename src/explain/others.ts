import { describeRules, PLAIN } from '../instrument/rules.js';
import type { Instrument, Rules } from '../instrument/types.js';
import type { Change } from '../room/change.js';
import type { RoomPlan } from '../room/plan.js';
import { MILLISECOND, SECOND } from '../time/micros.js';

/** One rule with another value, to see what the take would have played by that. */
export interface Other {
  /** As in a rules file; `room.` and a key of a room file where it is not the rules. */
  readonly key: string;
  /** Both as a file gives them. */
  readonly value: string;
  readonly other: string;
  /** Whether levels and touches are other ones by it. */
  readonly pads: boolean;
  readonly rules: (rules: Rules) => Rules;
  /** The room, and what people changed of it, without what is left out; null: nothing is left of it. */
  readonly room?: (room: RoomPlan) => RoomPlan;
  readonly change?: (change: Change) => Change | null;
}

type Group = Exclude<keyof Rules, 'name' | 'logic'>;

/** Levels that were seen on pads, from which thresholds to try are made. */
export interface Levels {
  /** Highest levels that began no touch, highest levels of weak touches, lowest ones within a touch. */
  readonly missed: readonly number[];
  readonly weak: readonly number[];
  readonly dipped: readonly number[];
}

/** A rule in other words: one group's key, and the value to try. */
export function otherRule(rules: Rules, group: Group, key: string, value: unknown): Other {
  return changed(rules, `${group}.${key}`, group === 'touch' || group === 'strength', (own) =>
    withKey(own, group, key, value),
  );
}

function changed(rules: Rules, key: string, pads: boolean, alter: (rules: Rules) => Rules): Other {
  const written = (own: Rules): string => {
    const value = describeRules(own).find((line) => line.key === key)?.value ?? '';
    return value === '0us' ? '0ms' : value;
  };
  return { key, value: written(rules), other: written(alter(rules)), pads, rules: alter };
}

function withKey(rules: Rules, group: Group, key: string, value: unknown): Rules {
  return { ...rules, [group]: { ...rules[group], [key]: value } };
}

/** All that is worth trying on an instrument of this kind; what would change nothing is left out. */
export function otherRules(rules: Rules, { kind }: Instrument, seen: Levels): Other[] {
  const own = rules.logic?.code ? ownLogicRules(rules) : kindRules(rules, kind);
  const all = [
    ...touchRules(rules, seen),
    ...tries(rules, 'strength', { readings: [0, 1], within: [100 * MILLISECOND] }),
    ...own,
    ...tries(rules, 'voices', { most: [64], keep: ['lowest', 'highest', 'latest', 'loudest'] }),
  ];
  return all.filter(({ value, other }) => value !== other);
}

function tries(rules: Rules, group: Group, keys: Readonly<Record<string, unknown[]>>): Other[] {
  return Object.entries(keys).flatMap(([key, values]) =>
    values.map((value) => otherRule(rules, group, key, value)),
  );
}

function kindRules(rules: Rules, kind: Instrument['kind']): Other[] {
  const { keys, holes } = rules;
  switch (kind) {
    case 'strings':
      return stringRules(rules);
    case 'keys':
      return tries(rules, kind, { 'ring-on': [keys['ring-on'] > 0 ? 0 : SECOND / 2] });
    case 'holes':
      return tries(rules, kind, {
        settle: [0, Math.min(SECOND, Math.max(20 * MILLISECOND, 2 * holes.settle))],
        'mouth-waits': [!holes['mouth-waits']],
        unknown: ['keep', 'end'],
      });
    case 'hits':
      return tries(rules, kind, { mask: [0, 250 * MILLISECOND], ring: [10 * SECOND] });
  }
}

function stringRules(rules: Rules): Other[] {
  const { strings } = rules;
  /** Turned off; or, where it is off, as it is in `plain`. */
  const off = (key: 'late-fret' | 'pluck-after' | 'resting-thumb' | 'brush'): unknown =>
    strings[key] === null ? PLAIN.strings[key] : null;
  /** Twice as far, and a tenth of a second at least. */
  const longer = (key: 'late-fret' | 'early-lift'): number =>
    Math.min(200 * MILLISECOND, Math.max(100 * MILLISECOND, 2 * (strings[key] ?? 0)));
  return tries(rules, 'strings', {
    stop: ['highest', 'lowest', 'latest'],
    'hammer-on': [!strings['hammer-on']],
    'pull-off': [!strings['pull-off']],
    slide: [!strings.slide],
    'slide-overlap': [0, 2 * SECOND],
    'slide-gap': [0, SECOND / 2],
    'pluck-after': [off('pluck-after')],
    'wait-for-pluck': ['never', 'always'],
    ring: [60 * SECOND],
    'damp-by-fret': [!strings['damp-by-fret']],
    'damp-by-hold': [null],
    'late-fret': [off('late-fret'), longer('late-fret')],
    'wait-for-fret': ['never', 'always'],
    'early-lift': [0, longer('early-lift')],
    'resting-thumb': [off('resting-thumb')],
    brush: [off('brush')],
    'brush-share': [0, 1],
  });
}

function ownLogicRules(rules: Rules): Other[] {
  return [changed(rules, 'logic', false, (own) => ({ ...own, logic: null }))];
}

const cents = (level: number): number => Math.floor(100 * level) / 100;

/** Thresholds that what was seen would just have met, or just not. */
function touchRules(rules: Rules, { missed, weak, dipped }: Levels): Other[] {
  const { on, off, lift } = rules.touch;
  const others: Other[] = [];
  for (const level of missed) {
    const lower = Math.max(0.01, cents(0.9 * Math.min(level, on)));
    if (lower < on) others.push(withOn(rules, lower));
  }
  for (const level of weak) {
    const higher = cents(1.1 * level) + 0.01;
    if (higher > on && higher <= 1) others.push(withOn(rules, higher));
  }
  for (const level of dipped) {
    const higher = cents(level) + 0.01;
    if (higher > off && higher < on) others.push(otherRule(rules, 'touch', 'off', higher));
  }
  others.push(otherRule(rules, 'touch', 'off', cents(off / 2)));
  const longer = Math.min(SECOND, Math.max(100 * MILLISECOND, 4 * lift));
  others.push(otherRule(rules, 'touch', 'lift', 0), otherRule(rules, 'touch', 'lift', longer));
  const told = new Set<string>();
  return others.filter(({ key, other }) => {
    const once = `${key} ${other}`;
    return told.size < told.add(once).size;
  });
}

/** The lower threshold goes along where it must, as a file is refused otherwise. */
function withOn(rules: Rules, on: number): Other {
  const lower = (own: Rules): number => Math.min(own.touch.off, Number((0.6 * on).toPrecision(2)));
  const alter = (own: Rules): Rules => ({
    ...own,
    touch: { ...own.touch, on, off: own.touch.off < on ? own.touch.off : lower(own) },
  });
  const one = changed(rules, 'touch.on', true, alter);
  if (alter(rules).touch.off === rules.touch.off) return one;
  return { ...one, other: `${one.other} (and touch.off ${String(alter(rules).touch.off)})` };
}
