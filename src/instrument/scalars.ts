import * as z from 'zod';
import { formatDuration, MILLISECOND, parseDuration, SECOND, type Micros } from '../time/micros.js';
import { PITCH, pitchName, pitchNumber } from './pitch.js';

const DURATION = /^\d+(\.\d+)?\s*(us|ms|s|min)$/;
const DURATION_OR_YES = /^(yes|no|\d+(\.\d+)?\s*(us|ms|s|min))$/;
const DURATION_OR_NEVER = /^(never|\d+(\.\d+)?\s*(us|ms|s|min))$/;

/** What a JSON Schema of ours calls a value that needs more than a type to describe it. */
const TITLES = {
  duration: 'a duration with its unit, such as 4ms or 2s',
  steady: 'true, false, or a duration with its unit, such as 500ms or 2s',
  orNever: '"never", or a duration with its unit, such as 400ms or 2s',
  pitch: 'a pitch name, such as G2, F#3 or Bb1',
  text: 'a text',
} as const;

/** A duration from `least` to `most`, which people write with its unit. */
export function duration(least: Micros, most: Micros) {
  return z
    .string()
    .regex(DURATION)
    .meta({ title: TITLES.duration })
    .transform((text, ctx) => micros(text, least, most, ctx));
}

/** The same, or the word `never`, which is null. */
export function durationOrNever(least: Micros, most: Micros) {
  return z
    .string()
    .regex(DURATION_OR_NEVER)
    .meta({ title: TITLES.orNever })
    .transform((text, ctx) => (text === 'never' ? null : micros(text, least, most, ctx)));
}

/** Whether a wire that stops is noticed, or after how long. */
export const steady = z.union([
  z.boolean(),
  z
    .string()
    .regex(DURATION_OR_YES)
    .meta({ title: TITLES.steady })
    .transform((text, ctx) =>
      /^(yes|no)$/.test(text) ? text === 'yes' : micros(text, 100 * MILLISECOND, 60 * SECOND, ctx),
    ),
]);

function micros(text: string, least: Micros, most: Micros, ctx: z.core.$RefinementCtx): Micros {
  const value = parseDuration(text);
  if (value !== undefined && value >= least && value <= most) return value;
  const message = `a duration from ${formatDuration(least)} to ${formatDuration(most)}`;
  ctx.addIssue({ code: 'custom', message });
  return z.NEVER;
}

/** A scientific pitch name; MIDI note number inside. */
export const pitch = z
  .string()
  .regex(PITCH)
  .meta({ title: TITLES.pitch })
  .transform((name, ctx) => {
    const number = pitchNumber(name);
    if (number !== undefined) return number;
    ctx.addIssue({ code: 'custom', message: 'a pitch from C-1 to G9' });
    return z.NEVER;
  });

export const text = z.string().regex(/\S/).meta({ title: TITLES.text });
export const pad = z.int().min(0).max(4095);
export const portNumber = z.int().min(1).max(65535);

/** What to do about a value that is no such thing, where more can be said than what is allowed. */
export function fixScalar(title: unknown, value: unknown): string | undefined {
  if (title === TITLES.duration || title === TITLES.steady) return fixDuration(value, false);
  if (title === TITLES.orNever) return fixDuration(value, true);
  if (title === TITLES.pitch) return fixPitch(value);
  if (title === TITLES.text && (typeof value === 'number' || typeof value === 'boolean')) {
    return `Put it in quotation marks: "${String(value)}"`;
  }
  return undefined;
}

function fixDuration(value: unknown, orNever: boolean): string | undefined {
  if (orNever && NO.has(value)) return 'Write never';
  if (typeof value === 'number' && value >= 0) {
    return `Add the unit: ${String(value)}ms for milliseconds, ${String(value)}s for seconds`;
  }
  if (typeof value !== 'string') return undefined;
  const whole = value.trim().replace(',', '.');
  if (DURATION.test(whole)) {
    return whole === value.trim() ? undefined : `Write a point, not a comma: ${whole}`;
  }
  const [, number, unit] = /^(\d+(?:\.\d+)?)\s*(\p{L}+)\.?$/u.exec(whole) ?? [];
  if (number === undefined || unit === undefined) return undefined;
  const meant = UNIT_WORDS.find(([words]) => words.test(unit))?.[1];
  return meant === undefined
    ? 'Write one of the units us, ms, s or min behind the number'
    : `Write ${number}${meant}`;
}

const NO: ReadonlySet<unknown> = new Set([0, false, null, 'no', 'off', 'none', 'false']);

const UNIT_WORDS: readonly (readonly [RegExp, string])[] = [
  [/^(µs|μs|usec|micro.*)$/i, 'us'],
  [/^(ms|msec.*|milli.*)$/i, 'ms'],
  [/^(s|secs?|seconds?)$/i, 's'],
  [/^(mins?|minutes?)$/i, 'min'],
];

function fixPitch(value: unknown): string | undefined {
  if (typeof value === 'number') {
    return Number.isInteger(value) && value >= 0 && value <= 127
      ? `Write the name instead of the number: ${String(value)} is ${pitchName(value)}`
      : undefined;
  }
  if (typeof value !== 'string') return undefined;
  if (/^[A-G](#|b)?$/i.test(value)) {
    return `Add the octave: ${value.toUpperCase().replace(/(?<=.)B/, 'b')}2, say; C4 is middle C`;
  }
  const [, octave] = /^h(-1|\d)$/i.exec(value) ?? [];
  if (octave !== undefined)
    return `Write B${octave}: the note called H in some countries is B here`;
  return undefined;
}
