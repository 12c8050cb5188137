import { formatDuration, MILLISECOND } from '../time/micros.js';
import type { Complaint } from './explain.js';
import { jsonSchema, read, type Form } from './read.js';
import { checkCurve, checkWriting } from './rules-curve.js';
import { rulesKeys } from './rules-keys.js';
import type { Shape } from './shape.js';
import type { Rules } from './types.js';

type Unnamed = Omit<Rules, 'name'> & { readonly name?: string | undefined };

export const rulesForm: Form<Unnamed> = {
  schema: rulesKeys,
  before: checkWriting,
  check: checkRules,
};

/** The rule set `plain`: what every key stands for where a rules file leaves it out. */
export const PLAIN: Rules = { ...rulesKeys.parse({}), name: 'plain' };

/**
 * Reads a rules file (YAML). Keys that are left out are as in `PLAIN`; the name is the file's own
 * unless it gives another.
 *
 * @param file its name for messages
 * @throws FileFault
 */
export function parseRules(text: string, file: string): Rules {
  const { name, ...rules } = read(text, file, rulesForm).value;
  return { ...rules, name: name ?? stem(file) };
}

let shape: Shape | null = null;

/** What a rules file may hold. Made once, since making it takes longer than a touch may wait. */
export function rulesShape(): Shape {
  shape ??= jsonSchema(rulesKeys) as Shape;
  return shape;
}

/** One key of a rule set: its path, its value as a file gives it, and what it does. */
export interface RuleLine {
  readonly key: string;
  readonly value: string;
  readonly about: string;
}

/**
 * Describes a rule set, a line a key, in the order of the file.
 *
 * @example describeRules()[2] // { key: 'touch.lift', value: '24ms', about: 'How long …' }
 */
export function describeRules(rules: Rules = PLAIN): RuleLine[] {
  return Object.entries(rulesShape().properties ?? {}).flatMap(
    ([group, { properties, description }]) => {
      if (group === 'logic') {
        return [{ key: group, value: rules.logic?.file ?? 'null', about: description ?? '' }];
      }
      return Object.entries(properties ?? {}).map(([name, { title, description: about = '' }]) => {
        const value = (rules as unknown as Record<string, Record<string, unknown>>)[group]?.[name];
        const isTime = title?.includes('duration') === true && typeof value === 'number';
        return {
          key: `${group}.${name}`,
          value: isTime ? formatDuration(value) : written(value),
          about,
        };
      });
    },
  );
}

function checkRules({ touch, velocity, strength }: Unnamed): Complaint[] {
  const complaints = checkCurve(velocity.curve);
  if (touch.off >= touch.on) {
    complaints.push({
      path: ['touch', 'off'],
      found: String(touch.off),
      allowed: `a level below touch.on, which is ${String(touch.on)}`,
      // As far below as in `PLAIN`; two digits of it stay below `on` however low that is.
      fix: `Lower off, to about ${String(Number((0.6 * touch.on).toPrecision(2)))}, or raise on`,
    });
  }
  if (velocity.softest > velocity.hardest) {
    complaints.push({
      path: ['velocity', 'softest'],
      found: String(velocity.softest),
      allowed: `a velocity up to velocity.hardest, which is ${String(velocity.hardest)}`,
      fix: 'Exchange the two numbers, or make them equal for notes that are all as loud',
    });
  }
  if (strength.readings > 0 && strength.within < MILLISECOND) {
    complaints.push({
      path: ['strength', 'within'],
      found: formatDuration(strength.within),
      allowed: '1ms or more, as strength.readings asks to wait for readings',
      fix: 'Set readings to 0 for no waiting at all, or within to 24ms',
    });
  }
  return complaints;
}

/** A value as a file gives it, on one line. */
function written(value: unknown): string {
  return Array.isArray(value)
    ? JSON.stringify(value).replace(/,/g, ', ')
    : String((value ?? 'never') as string | number | boolean);
}

function stem(file: string): string {
  return file.replace(/^.*[\\/]/, '').replace(/\.[^.]*$/, '') || 'rules';
}
