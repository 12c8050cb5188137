import * as z from 'zod';
import type { Path } from './document.js';
import type { Complaint } from './explain.js';
import { pitchName } from './pitch.js';
import { read, type Form } from './read.js';
import { pad, pitch, text } from './scalars.js';
import type { Instrument } from './types.js';

const stringPads = z.strictObject({
  open: pitch.describe('The pitch that the string gives with no fret held.'),
  frets: z
    .array(pad)
    .default([])
    .describe('The fret pads from the nut on; each raises the string by one more semitone.'),
  pluck: pad.describe('The pad that sounds the string.'),
});

export const instrumentForm: Form<Instrument> = {
  schema: z
    .strictObject({
      name: text.describe('What people call this kind of instrument.'),
      kind: z.enum(['strings']).describe('How it is played: strings are stopped and plucked.'),
      sound: z.int().min(1).max(128).describe('The General MIDI program, counted from 1.'),
      strings: z
        .array(stringPads)
        .min(1)
        .describe('The strings, each with its pads; pads are numbered from 0.'),
    })
    .meta({ title: 'an instrument', description: 'A kind of instrument: pads, strings, tuning.' }),
  before: (data) => laterKind(data),
  check: (instrument) => [...padsTwice(instrument), ...holes(instrument), ...tooHigh(instrument)],
};

/**
 * Reads an instrument file (YAML).
 *
 * @param file its name for messages
 * @throws FileFault
 */
export function parseInstrument(text: string, file: string): Instrument {
  return read(text, file, instrumentForm).value;
}

/** How many pads an instrument has; they are numbered from 0 to one less. */
export function padCount({ strings }: Instrument): number {
  return strings.reduce((count, { frets }) => count + frets.length + 1, 0);
}

/**
 * An instrument as a file gives it, with names for pitches, for whoever puts one into another file:
 * `parseInstrument` reads it as it was.
 */
export function instrumentAsWritten({ name, kind, sound, strings }: Instrument): object {
  return {
    name,
    kind,
    sound,
    strings: strings.map(({ open, frets, pluck }) => ({ open: pitchName(open), frets, pluck })),
  };
}

const LATER = ['keys', 'holes', 'hits'];

function laterKind(data: unknown): Complaint[] {
  const kind = typeof data === 'object' && data !== null ? (data as { kind?: unknown }).kind : null;
  if (typeof kind !== 'string' || !LATER.includes(kind)) return [];
  return [
    {
      path: ['kind'],
      found: `"${kind}"`,
      allowed: 'strings',
      mend: `Instruments with ${kind} cannot be played yet: this version plays strings only`,
    },
  ];
}

/** Every pad with the place that names it, in the order of the file. */
function places({ strings }: Instrument): { number: number; path: Path }[] {
  return strings.flatMap(({ frets, pluck }, s) => [
    ...frets.map((number, f) => ({ number, path: ['strings', s, 'frets', f] })),
    { number: pluck, path: ['strings', s, 'pluck'] },
  ]);
}

function padsTwice(instrument: Instrument): Complaint[] {
  const seen = new Map<number, Path>();
  return places(instrument).flatMap(({ number, path }) => {
    const [, s, part] = seen.get(number) ?? [];
    if (s === undefined) {
      seen.set(number, path);
      return [];
    }
    const where = `${part === 'pluck' ? 'pluck' : 'a fret'} of string ${String(Number(s) + 1)}`;
    return [
      {
        path,
        found: `pad ${String(number)}, which is already ${where}`,
        allowed: 'each pad once',
        mend: `Give one of the two another number; ${free(instrument)}`,
      },
    ];
  });
}

function holes(instrument: Instrument): Complaint[] {
  const used = new Set(places(instrument).map(({ number }) => number));
  const count = padCount(instrument);
  // A pad listed twice leaves a hole too, and is complained about already.
  if (used.size < count) return [];
  const stray = places(instrument).find(({ number }) => number >= count);
  if (!stray) return [];
  return [
    {
      path: stray.path,
      found: `pad ${String(stray.number)}, though there are only ${String(count)} pads`,
      allowed: `pads 0 to ${String(count - 1)}, without a hole`,
      mend: `Number the pads from 0 on without a hole; ${free(instrument)}`,
    },
  ];
}

function free(instrument: Instrument): string {
  const used = new Set(places(instrument).map(({ number }) => number));
  for (let number = 0; ; number++) {
    if (!used.has(number)) return `pad ${String(number)} is free`;
  }
}

function tooHigh({ strings }: Instrument): Complaint[] {
  return strings.flatMap(({ open, frets }, s) => {
    if (open + frets.length <= 127) return [];
    return [
      {
        path: ['strings', s, 'open'],
        found: `"${pitchName(open)}" with ${String(frets.length)} frets`,
        allowed: 'pitches up to G9 at the last fret',
        mend: 'Tune the string lower, or take frets away',
      },
    ];
  });
}
