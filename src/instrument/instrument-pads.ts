import type { Path } from './document.js';
import type { Instrument } from './types.js';

/** One pad of an instrument, with the place in its file that names it. */
export interface PadPlace {
  readonly pad: number;
  readonly path: Path;
  /** What it is there, in words, such as `a fret of string 2`. */
  readonly role: string;
}

/** Every pad, in the order in which an instrument is printed: as its file lists them, from the nut, the left or the mouth. */
export function padPlaces(instrument: Instrument): PadPlace[] {
  switch (instrument.kind) {
    case 'strings':
      return instrument.strings.flatMap(({ frets, pluck }, s) => {
        const string = `string ${String(s + 1)}`;
        return [
          ...frets.map((pad, f) => ({
            pad,
            path: ['strings', s, 'frets', f],
            role: `a fret of ${string}`,
          })),
          { pad: pluck, path: ['strings', s, 'pluck'], role: `pluck of ${string}` },
        ];
      });
    case 'keys':
      return instrument.keys.map(({ pad }, i) => ({
        pad,
        path: ['keys', i, 'pad'],
        role: `key ${String(i + 1)}`,
      }));
    case 'holes': {
      const { holes, mouth } = instrument;
      const fingers = holes.map((pad, i) => ({
        pad,
        path: ['holes', i],
        role: `hole ${String(i + 1)}`,
      }));
      return mouth === null
        ? fingers
        : [...fingers, { pad: mouth, path: ['mouth'], role: 'the mouth' }];
    }
    case 'hits':
      return instrument.hits.map(({ pad }, i) => ({
        pad,
        path: ['hits', i, 'pad'],
        role: `drum pad ${String(i + 1)}`,
      }));
  }
}

/** How many pads an instrument has; they are numbered from 0 to one less. */
export function padCount(instrument: Instrument): number {
  return padPlaces(instrument).length;
}

/** The pads in the order in which the instrument is printed, in which they are best touched. */
export function printedOrder(instrument: Instrument): number[] {
  return padPlaces(instrument).map(({ pad }) => pad);
}

/** How many notes an instrument sounds apart from each other: its strings, keys or drum pads; a pipe one. */
export function placeCount(instrument: Instrument): number {
  switch (instrument.kind) {
    case 'strings':
      return instrument.strings.length;
    case 'keys':
      return instrument.keys.length;
    case 'holes':
      return 1;
    case 'hits':
      return instrument.hits.length;
  }
}
