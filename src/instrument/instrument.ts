import * as z from 'zod';
import type { Complaint } from './explain.js';
import { checkInstrument } from './instrument-checks.js';
import { KINDS } from './instrument-kinds.js';
import { nearest } from './near.js';
import { pitchName } from './pitch.js';
import { read, type Form } from './read.js';
import type { Fingering, Instrument, Kind } from './types.js';
import { foundWords } from './words.js';

export { padCount } from './instrument-pads.js';

const { strings, ...others } = KINDS;

export const instrumentForm: Form<Instrument> = {
  schema: z.union([strings, ...Object.values(others)]).meta({
    title: 'an instrument',
    description: 'A kind of instrument: pads, and what they sound.',
  }),
  choose: (data) => KINDS[kindOf(data) as Kind],
  before: unknownKind,
  check: checkInstrument,
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

function kindOf(data: unknown): unknown {
  return isMap(data) ? data['kind'] : undefined;
}

function isMap(data: unknown): data is Readonly<Record<string, unknown>> {
  return typeof data === 'object' && data !== null && !Array.isArray(data);
}

/** Without its kind nothing else of an instrument can be judged. */
function unknownKind(data: unknown): Complaint[] {
  if (!isMap(data)) {
    return [
      {
        path: [],
        found: foundWords(data),
        allowed: 'the keys name, kind and sound, and those of its kind',
        fix: 'Write each key on a line of its own, as the examples in config/ do',
      },
    ];
  }
  const { kind } = data;
  if (typeof kind === 'string' && KNOWN.includes(kind)) return [];
  const misspelt = kind === undefined ? Object.keys(data).find(isNearlyKind) : undefined;
  if (misspelt !== undefined) {
    return [
      {
        path: [misspelt],
        part: 'key',
        found: 'a key that is not known here',
        allowed: 'name, kind, sound',
        fix: 'Did you mean "kind"?',
      },
    ];
  }
  return [{ path: ['kind'], found: foundWords(kind), allowed: KNOWN.join(', '), fix: fix(data) }];
}

const KNOWN: readonly string[] = Object.keys(KINDS);

const isNearlyKind = (key: string): boolean => nearest(key, ['kind']) !== undefined;

function fix(data: Readonly<Record<string, unknown>>): string {
  const { kind } = data;
  const meant = typeof kind === 'string' ? nearest(kind, KNOWN) : undefined;
  if (meant !== undefined) return `Did you mean "${meant}"?`;
  // Every kind has a list of its own name.
  const shown = KNOWN.filter((one) => Array.isArray(data[one]));
  if (shown.length === 1) return `Write "kind: ${shown[0]!}", as the list below is named`;
  return 'Write "kind: strings" for plucked strings, keys for touch keys, holes for a pipe or hits for drum pads';
}

/**
 * An instrument as a file gives it, with names for pitches, for whoever puts one into another file:
 * `parseInstrument` reads it as it was.
 */
export function instrumentAsWritten(instrument: Instrument): object {
  switch (instrument.kind) {
    case 'strings': {
      const { name, kind, sound, strings: all } = instrument;
      const rows = all.map(({ open, frets, pluck }) => ({ open: pitchName(open), frets, pluck }));
      return { name, kind, sound, strings: rows };
    }
    case 'keys': {
      const { name, kind, sound, keys } = instrument;
      const rows = keys.map(({ note, pad }) => ({ note: pitchName(note), pad }));
      return { name, kind, sound, keys: rows };
    }
    case 'holes': {
      const { name, kind, sound, holes, mouth, fingerings } = instrument;
      const rows = fingerings.map((one) => ({
        note: pitchName(one.note),
        holes: one.holes.map((hole) => LETTER[hole]).join(''),
      }));
      return { name, kind, sound, holes, ...(mouth === null ? {} : { mouth }), fingerings: rows };
    }
    case 'hits': {
      const { name, kind, sound, hits } = instrument;
      return { name, kind, sound, hits };
    }
  }
}

const LETTER: Readonly<Record<Fingering['holes'][number], string>> = {
  closed: 'x',
  open: 'o',
  either: '.',
};
