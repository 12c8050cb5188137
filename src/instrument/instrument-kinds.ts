import * as z from 'zod';
import { pad, pitch, text } from './scalars.js';
import type { Fingering, Instrument, Kind } from './types.js';

const name = text.describe('What people call this kind of instrument.');
const sound = z.int().min(1).max(128).describe('The General MIDI program, counted from 1.');
const kind = <Name extends Kind>(own: Name, about: string) =>
  z.enum([own]).describe(`How it is played: ${about}`);

const stringPads = z.strictObject({
  open: pitch.describe('The pitch that the string gives with no fret held.'),
  frets: z
    .array(pad)
    .default([])
    .describe('The fret pads from the nut on; each raises the string by one more semitone.'),
  pluck: pad.describe('The pad that sounds the string.'),
});

const strings = z
  .strictObject({
    name,
    kind: kind('strings', 'strings are stopped and plucked.'),
    sound,
    strings: z
      .array(stringPads)
      .min(1)
      .describe('The strings, each with its pads; pads are numbered from 0.'),
  })
  .meta({ title: 'an instrument with strings' });

const keyPad = z
  .strictObject({
    note: pitch.describe('The pitch that the key sounds.'),
    pad: pad.describe('The pad of the key.'),
  })
  .meta({ examples: [{ note: 'C4', pad: 0 }] });

const keys = z
  .strictObject({
    name,
    kind: kind('keys', 'each key sounds its pitch while it is held.'),
    sound,
    keys: z.array(keyPad).min(1).describe('The keys from the left; pads are numbered from 0.'),
  })
  .meta({ title: 'an instrument with keys' });

const LETTERS = { x: 'closed', o: 'open', '.': 'either' } as const;

const chart = z
  .string()
  .regex(/^[xo.]+$/)
  .meta({ title: 'one letter a hole: x is closed, o is open, . is either' })
  .transform((letters): Fingering['holes'] =>
    Array.from(letters, (letter) => LETTERS[letter as keyof typeof LETTERS]),
  );

const fingering = z
  .strictObject({
    note: pitch.describe('The pitch that the fingering gives.'),
    holes: chart.describe(
      'One letter a hole, in the order of `holes`: x closed, o open, . either.',
    ),
  })
  .meta({ examples: [{ note: 'G5', holes: 'xxxxoooo' }] });

const holes = z
  .strictObject({
    name,
    kind: kind('holes', 'the fingering sets the pitch of a pipe.'),
    sound,
    holes: z.array(pad).min(1).describe('The pads of the holes, from the mouth down.'),
    mouth: pad
      .nullable()
      .default(null)
      .describe('The pad that is touched to sound the pipe; left out: the first finger sounds it.'),
    fingerings: z
      .array(fingering)
      .min(1)
      .describe('The fingering chart; the first row that fits counts.'),
  })
  .meta({ title: 'an instrument with holes' });

const hitPad = z
  .strictObject({
    drum: z.int().min(35).max(81).describe('The percussion sound, by its General MIDI key number.'),
    pad: pad.describe('The pad that is hit.'),
  })
  .meta({ examples: [{ drum: 36, pad: 0 }] });

const hits = z
  .strictObject({
    name,
    kind: kind('hits', 'each touch of a drum pad is a hit.'),
    sound: z
      .int()
      .min(1)
      .max(128)
      .default(1)
      .describe('The drum kit, as a program on the percussion channel; 1 is the standard kit.'),
    hits: z.array(hitPad).min(1).describe('The drum pads; pads are numbered from 0.'),
  })
  .meta({ title: 'an instrument with drum pads' });

/** What an instrument file of each kind holds. */
export const KINDS: Readonly<Record<Kind, z.ZodType<Instrument>>> = { strings, keys, holes, hits };
