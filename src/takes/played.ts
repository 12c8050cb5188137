import * as z from 'zod';
import { keyPath } from '../instrument/read.js';
import type { Micros } from '../time/micros.js';
import type { Played } from '../wire/scan.js';

const voice = z.int().min(0);

const played = z.discriminatedUnion('on', [
  z.strictObject({
    on: z.literal(true),
    voice,
    note: z.int().min(0).max(127),
    velocity: z.int().min(1).max(127),
    strength: z.number().min(0).max(1),
    string: z.int().min(0),
    fret: z.int().min(0),
    how: z.string(),
  }),
  z.strictObject({ on: z.literal(false), voice, slurred: z.boolean() }),
]);

/** Reads what a line says of a note of another computer. A string is what is wrong with it. */
export function parsePlayed(t: Micros, value: unknown): Played | string {
  const { success, data, error } = played.safeParse(value);
  if (success) return { type: 'played', t, ...data };
  const [issue] = error.issues;
  const key = keyPath(['played', ...(issue?.path ?? [])] as string[]);
  return `the note in it is not whole: ${key}: ${issue?.message ?? 'it cannot be read'}`;
}

/** One line of a take, without its line end. */
export function formatPlayed(event: Played): string {
  return JSON.stringify({ t: event.t, played: { ...event, type: undefined, t: undefined } });
}
