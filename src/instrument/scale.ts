import { Note, Scale } from 'tonal';
import * as z from 'zod';
import { nearest } from './near.js';
import type { PitchClasses } from './types.js';

/** A note name without its octave. */
const CLASS = /^[A-G](#{1,2}|b{1,2})?$/;

const pitchClass = z
  .string()
  .regex(CLASS)
  .meta({ title: 'a note name without its octave, such as D, F# or Bb' })
  .transform((name) => classOf(name));

/** The key that a scale begins on; a pitch class inside. */
export const key = pitchClass;

/** Steps from the key, or pitch classes as they are. */
export type ScaleWritten =
  { readonly steps: readonly number[] } | { readonly classes: readonly number[] };

const named = z
  .string()
  .meta({ title: 'the name of a scale, such as major, dorian or minor pentatonic' })
  .transform((name, ctx): ScaleWritten => {
    const steps = stepsOf(name);
    if (steps) return { steps };
    ctx.addIssue({ code: 'custom', message: `the name of a scale${hint(name)}` });
    return z.NEVER;
  });

const listed = z
  .array(pitchClass)
  .min(1)
  .transform((classes): ScaleWritten => ({ classes }));

/** A scale by its name, or by its notes; null is none. */
export const scale = z.union([named, listed, z.null()]);

/** @param from the pitch class that the steps of a named scale count from */
export function pitchClasses(written: ScaleWritten, from: number): PitchClasses {
  const all =
    'classes' in written ? written.classes : written.steps.map((step) => (step + from) % 12);
  return [...new Set(all)].sort((a, b) => a - b);
}

/** @example stepsOf('major') // [0, 2, 4, 5, 7, 9, 11] */
function stepsOf(name: string): number[] | undefined {
  const { empty, chroma, tonic } = Scale.get(name.trim().toLowerCase());
  // A name with a tonic in it, such as "D dorian", is no name of a scale alone.
  if (empty || tonic) return undefined;
  return Array.from(chroma).flatMap((digit, step) => (digit === '1' ? [step] : []));
}

function hint(name: string): string {
  const [first = '', ...rest] = name.trim().split(/\s+/);
  const without = rest.join(' ');
  if (CLASS.test(first) && stepsOf(without)) {
    return ` alone: "key: ${first}" and "scale: ${without}" on lines of their own`;
  }
  const meant = nearest(name.trim().toLowerCase(), Scale.names());
  return meant === undefined ? ', such as major, dorian or minor pentatonic' : `: ${meant}, say`;
}

function classOf(name: string): number {
  return Note.chroma(name)!;
}
