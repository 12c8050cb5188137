import * as z from 'zod';

/** What the built-in engine's output keeps to. */
export interface Ceiling {
  /** True peaks stay below it, in dBTP. */
  readonly peak: number;
  /** No three seconds are louder, in LUFS; null: only `peak` holds the output down. */
  readonly loudness: number | null;
}

/** What a synthesizer is sent at most, of 127. */
export interface MidiCeiling {
  /** Of Note Ons. */
  readonly velocity: number;
  /** Controller 7 of a seat at full level. */
  readonly volume: number;
}

/**
 * What holds where a room says nothing: eight players at ease are not touched, and a whole class that plays
 * as hard as it can is not much louder than they are (measured with the built-in voices: one player −29
 * LUFS, eight −21, thirty-two at full strength −10).
 */
export const CLASS_CEILING: Ceiling = { peak: -1, loudness: -16 };

const QUIETEST = -60;
const LOUDEST = -5;
const OR_NEVER = `"never", or a number from ${String(QUIETEST)} to ${String(LOUDEST)}`;

const loudness = z
  .union([z.number().min(QUIETEST).max(LOUDEST), z.enum(['never']).meta({ title: OR_NEVER })])
  .default(CLASS_CEILING.loudness ?? 'never')
  .describe(
    'Everybody together gets no louder than so many LUFS: lower is quieter, never lifts it.',
  )
  .transform((lufs) => (lufs === 'never' ? null : lufs));

export const builtinCeiling = z
  .strictObject({
    peak: z
      .number()
      .min(-40)
      .max(-0.5)
      .default(CLASS_CEILING.peak)
      .describe('The highest peak in dBTP; lower is quieter when many play at once.'),
    loudness,
  })
  .prefault({})
  .meta({
    description: 'How loud this computer may get, whatever the players do.',
    examples: [{ loudness: -20 }],
  });

const most = z.int().min(1).max(127).default(127);

export const midiCeiling = z
  .strictObject({
    velocity: most.describe('The hardest note; harder ones sound like this one.'),
    volume: most.describe('The highest volume (controller 7); seats keep their balance below it.'),
  })
  .prefault({})
  .meta({
    description: 'How loud the synthesizer is asked to be at most, as far as it follows.',
    examples: [{ velocity: 100 }],
  });
