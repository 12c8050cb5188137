import type { Complaint } from './explain.js';
import { padCount, padPlaces, type PadPlace } from './instrument-pads.js';
import { pitchName } from './pitch.js';
import type { Fingering, HolesInstrument, Instrument, StringsInstrument } from './types.js';

/** What no schema can say of an instrument. */
export function checkInstrument(instrument: Instrument): Complaint[] {
  const places = padPlaces(instrument);
  const own =
    instrument.kind === 'strings'
      ? tooHigh(instrument)
      : instrument.kind === 'holes'
        ? chartFaults(instrument)
        : [];
  return [...padsTwice(places), ...numberingGaps(places, padCount(instrument)), ...own];
}

function padsTwice(places: readonly PadPlace[]): Complaint[] {
  const seen = new Map<number, string>();
  return places.flatMap(({ pad, path, role }) => {
    const before = seen.get(pad);
    if (before === undefined) {
      seen.set(pad, role);
      return [];
    }
    return [
      {
        path,
        found: `pad ${String(pad)}, which is already ${before}`,
        allowed: 'each pad once',
        fix: `Give one of the two another number; ${free(places)}`,
      },
    ];
  });
}

function numberingGaps(places: readonly PadPlace[], count: number): Complaint[] {
  const used = new Set(places.map(({ pad }) => pad));
  // A pad listed twice leaves a gap too, and is complained about already.
  if (used.size < count) return [];
  const stray = places.find(({ pad }) => pad >= count);
  if (!stray) return [];
  return [
    {
      path: stray.path,
      found: `pad ${String(stray.pad)}, though there are only ${String(count)} pads`,
      allowed: `pads 0 to ${String(count - 1)}, without a hole`,
      fix: `Number the pads from 0 on without a hole; ${free(places)}`,
    },
  ];
}

function free(places: readonly PadPlace[]): string {
  const used = new Set(places.map(({ pad }) => pad));
  for (let pad = 0; ; pad++) {
    if (!used.has(pad)) return `pad ${String(pad)} is free`;
  }
}

function tooHigh({ strings }: StringsInstrument): Complaint[] {
  return strings.flatMap(({ open, frets }, s) => {
    if (open + frets.length <= 127) return [];
    return [
      {
        path: ['strings', s, 'open'],
        found: `"${pitchName(open)}" with ${String(frets.length)} frets`,
        allowed: 'pitches up to G9 at the last fret',
        fix: 'Tune the string lower, or take frets away',
      },
    ];
  });
}

function chartFaults({ holes, mouth, fingerings }: HolesInstrument): Complaint[] {
  const letters = (count: number): string =>
    count === 1 ? 'one letter' : `${String(count)} letters`;
  // A row of the wrong length is complained about by itself, and hides no other.
  const isWhole = ({ holes: row }: Fingering): boolean => row.length === holes.length;
  return fingerings.flatMap((fingering, i) => {
    const { note, holes: row } = fingering;
    const path = ['fingerings', i, 'holes'];
    if (!isWhole(fingering)) {
      return [
        {
          path,
          found: letters(row.length),
          allowed: `${letters(holes.length)}, one for each of the holes`,
          fix: 'Write x for each closed hole, o for each open one, and . where it makes no difference',
        },
      ];
    }
    if (mouth === null && row.every((hole) => hole === 'open')) {
      return [
        {
          path,
          found: `"${'o'.repeat(row.length)}" for ${pitchName(note)}, all open`,
          allowed: 'at least one closed hole, since the first finger sounds the pipe',
          fix: 'Close a hole in this row, or give the pipe a mouth pad',
        },
      ];
    }
    const hidden = fingerings
      .slice(0, i)
      .filter(isWhole)
      .find((earlier) => earlier.holes.every((hole, h) => hole === 'either' || hole === row[h]));
    if (!hidden) return [];
    return [
      {
        path,
        found: `a fingering for ${pitchName(note)} that an earlier row, for ${pitchName(hidden.note)}, takes already`,
        allowed: 'each fingering once; the first row that fits counts',
        fix: 'Change one of the two rows, or put the one with fewer dots first',
      },
    ];
  });
}
