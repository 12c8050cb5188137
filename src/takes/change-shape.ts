import * as z from 'zod';

/** What can be changed of one seat, as takes and pages say it; what is left out stays as it is. */
export const seatChange = {
  level: z.number().min(0).max(1).optional(),
  pan: z.number().min(-1).max(1).optional(),
  mute: z.boolean().optional(),
  solo: z.boolean().optional(),
  lead: z.boolean().optional(),
  sound: z.int().min(1).max(128).optional(),
};

/** What can be changed of the whole room. */
export const roomChange = {
  /** Pitch classes, 0 is C; null: every note is played as it is. */
  scale: z.array(z.int().min(0).max(11)).min(1).max(12).nullable().optional(),
  duck: z.number().min(0).max(60).optional(),
  voices: z.int().min(1).max(512).optional(),
};

type Stated<Value> = { [Key in keyof Value]: Exclude<Value[Key], undefined> };

/** The same without keys that are there and undefined, which `Change` does not have. */
export function stated<Value extends object>(value: Value): Stated<Value> {
  const entries = Object.entries(value).filter(([, one]) => one !== undefined);
  return Object.fromEntries(entries) as Stated<Value>;
}
