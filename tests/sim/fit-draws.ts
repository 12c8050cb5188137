import { rulesAsWritten } from '../../src/takes/rules-written.js';
import { PLAIN } from '../../src/instrument/rules.js';
import { withValue, type Value } from '../../src/fit/keys.js';
import type { Rules } from '../../src/instrument/types.js';
import { randomOf } from './random.js';

/** Far from anything that plays well, each key in its own way. */
export const BAD: Rules = {
  ...PLAIN,
  name: 'bad',
  touch: { on: 0.45, off: 0.27, lift: 90_000 },
  strength: { readings: 3, within: 24_000 },
  strings: {
    ...PLAIN.strings,
    stop: 'latest',
    'hammer-on': true,
    'late-fret': null,
    'early-lift': 0,
    'resting-thumb': null,
    brush: null,
  },
};

/** What somebody who tries things may have set a key to: from harmless to silly. */
const TRIED: readonly (readonly [key: string, values: readonly Value[]])[] = [
  ['touch.on', [0.04, 0.1, 0.15, 0.3, 0.35, 0.55, 0.7]],
  ['touch.off', [0.02, 0.1, 0.14, 0.18, 0.24]],
  ['touch.lift', [1_000, 6_000, 12_000, 40_000, 70_000, 120_000]],
  ['strength.readings', [0, 2, 3, 5]],
  ['strings.stop', ['lowest', 'latest']],
  ['strings.hammer-on', [true]],
  ['strings.pull-off', [true]],
  ['strings.slide', [true]],
  ['strings.late-fret', [null, 5_000, 14_000, 60_000, 120_000]],
  ['strings.wait-for-fret', ['never', 'always']],
  ['strings.early-lift', [0, 10_000, 70_000, 150_000]],
  ['strings.resting-thumb', [null, 3_000, 6_000, 14_000, 30_000]],
  ['strings.brush', [null, 20_000, 70_000, 150_000]],
  ['strings.brush-share', [0.2, 0.5, 0.85, 1]],
];

/** Rules with some keys set to something else, from none of them to all. */
export function randomStart(seed: number): Rules {
  const random = randomOf(seed, 'start');
  const share = random.next();
  return TRIED.reduce<Rules>(
    (rules, [key, values]) => {
      const value = random.pick(values);
      return random.chance(share) ? (withValue(rules, key, value) ?? rules) : rules;
    },
    { ...PLAIN, name: `start ${String(seed)}` },
  );
}

/** As a rules file: JSON is YAML too. */
export const fileOf = (rules: Rules): string => `${JSON.stringify(rulesAsWritten(rules))}\n`;
