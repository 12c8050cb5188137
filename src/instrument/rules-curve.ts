import * as z from 'zod';
import type { Complaint } from './explain.js';
import { valueAt } from './shape.js';
import type { Rules } from './types.js';

type Curve = Rules['velocity']['curve'];

const PATH = ['velocity', 'curve'] as const;
const TABLE = 'a list of two or more pairs of strength and velocity, such as [[0, 20], [1, 127]]';

/** One point of a table. Its ranges are checked by `checkCurve`, which can say more about them. */
const pair = z
  .array(z.number())
  .length(2)
  .meta({
    title: 'a strength and its velocity, such as [0.5, 80]',
    prefixItems: [
      { type: 'number', minimum: 0, maximum: 1 },
      { type: 'integer', minimum: 1, maximum: 127 },
    ],
  })
  .transform(([strength = 0, velocity = 1]) => [strength, velocity] as const);

/** How velocity grows with strength: an exponent, the word `square`, or a table. */
export const curve = z.union([
  z.number().min(0.1).max(10),
  z.enum(['square']),
  z.array(pair).min(2).meta({ title: TABLE }),
]);

/** What was meant for a number or a table, but is written as something else. */
export function checkWriting(data: unknown): Complaint[] {
  const value = valueAt(data, PATH);
  if (typeof value === 'string' && /^\s*\d+([.,]\d+)?\s*$/.test(value)) {
    const number = value.trim().replace(',', '.');
    const fix = value.includes(',')
      ? `Write a point, not a comma: ${number}`
      : `Take the quotation marks away: ${number}`;
    return [{ path: PATH, found: JSON.stringify(value), allowed: 'a number from 0.1 to 10', fix }];
  }
  if (!Array.isArray(value) || value.length === 0) return [];
  if (!value.every((one) => typeof one === 'number')) return [];
  const fix = 'Put brackets of their own round each strength and its velocity';
  return [{ path: PATH, found: 'a list of numbers', allowed: TABLE, fix }];
}

/** Whether a table stays within its ranges, its strengths rise, and its velocities do not fall. */
export function checkCurve(value: Curve): Complaint[] {
  if (typeof value !== 'object') return [];
  const beyond = value.flatMap((point, i) => outOfRange(point, i));
  // Order is judged only among numbers that can be meant.
  return beyond.length > 0 ? beyond : value.flatMap((_, i) => outOfOrder(value, i));
}

function outOfRange([strength, velocity]: readonly [number, number], i: number): Complaint[] {
  const complaints: Complaint[] = [];
  if (strength < 0 || strength > 1) {
    const isPercent = strength > 1 && strength <= 100;
    complaints.push({
      path: [...PATH, i, 0],
      found: `strength ${String(strength)}`,
      allowed: 'a strength from 0 to 1',
      fix: isPercent
        ? `Write ${String(strength)} % as ${String(strength / 100)}`
        : 'Change it to a number from 0, the softest touch, to 1, the hardest',
    });
  }
  if (!Number.isInteger(velocity) || velocity < 1 || velocity > 127) {
    complaints.push({
      path: [...PATH, i, 1],
      found: `velocity ${String(velocity)}`,
      allowed: 'a whole number from 1 to 127',
      fix: `Change it to ${String(Math.min(127, Math.max(1, Math.round(velocity))))}`,
    });
  }
  return complaints;
}

function outOfOrder(table: Exclude<Curve, number | string>, i: number): Complaint[] {
  const before = table[i - 1];
  const here = table[i];
  if (!before || !here) return [];
  if (here[0] <= before[0]) {
    return [
      {
        path: [...PATH, i, 0],
        found: `strength ${String(here[0])} after strength ${String(before[0])}`,
        allowed: 'strengths that rise from pair to pair',
        fix:
          here[0] === before[0]
            ? 'Take one of the two pairs away, or give it another strength'
            : 'Put the pairs in the order of their strengths, the smallest first',
      },
    ];
  }
  if (here[1] >= before[1]) return [];
  return [
    {
      path: [...PATH, i, 1],
      found: `velocity ${String(here[1])} after velocity ${String(before[1])}`,
      allowed: 'velocities that do not fall, so that a harder touch is never softer',
      fix: `Raise it to ${String(before[1])} or more, or lower the one before it`,
    },
  ];
}
