import { drumName } from '../instrument/drum-names.js';
import { pitchName } from '../instrument/pitch.js';
import type { HolesInstrument, Instrument, StringsInstrument } from '../instrument/types.js';
import { SECOND, type Micros } from '../time/micros.js';
import type { ListedNote } from '../takes/read-notes.js';

/** One thing to do in an exercise, and when. */
export interface Step {
  /** Beats from the first one, the count-in not among them. */
  readonly beat: number;
  /** What a player is told, such as `A1 fret 2, soft`. */
  readonly words: string;
  readonly notes: readonly { readonly note: number; readonly string: number }[];
  /** How hard, 0 to 1. */
  readonly strength: number;
  /** How many beats until the next step. */
  readonly beats: number;
}

/** So many beats are counted before the first step. */
export const COUNT_IN = 4;

const SOFT = 0.45;
const FIRM = 0.9;
/** How much of its time a note sounds. */
const LASTS = 0.8;

/** Something to play, before it is known when. */
interface Place {
  readonly name: string;
  readonly notes: Step['notes'];
}

/**
 * A written exercise that goes through everything an instrument has: every place soft and then firm,
 * quick repeats, quick changes, and two at once. What fails in tunes is among it.
 */
export function exerciseFor(instrument: Instrument): Step[] {
  const rows = rowsOf(instrument);
  const all = rows.flat();
  const steps: Step[] = [];
  let beat = 0;
  const play = (place: Place, strength: number, beats: number, how: string): void => {
    steps.push({ beat, words: `${place.name}, ${how}`, notes: place.notes, strength, beats });
    beat += beats;
  };
  for (const place of all) play(place, SOFT, 1, 'soft');
  beat += 1;
  for (const place of all) play(place, FIRM, 1, 'firm');
  beat += 1;
  for (const row of rows) {
    const often = row[1] ?? row[0]!;
    for (let i = 0; i < 4; i++) play(often, FIRM, 0.5, 'quick');
    beat += 1;
  }
  for (const row of rows) {
    for (const place of [...row, ...row.slice(0, -1).reverse()]) play(place, FIRM, 0.5, 'quick');
    beat += 1;
  }
  for (const both of pairsOf(instrument, rows)) play(both, FIRM, 1, 'both at once');
  return steps;
}

/** What belongs together: the places of a string, else all there is. */
function rowsOf(instrument: Instrument): Place[][] {
  switch (instrument.kind) {
    case 'strings':
      return stringRows(instrument);
    case 'keys':
      return [
        instrument.keys.map(({ note }, i) => ({
          name: pitchName(note),
          notes: [{ note, string: i }],
        })),
      ];
    case 'holes':
      return [pipeRow(instrument)];
    case 'hits':
      return [
        instrument.hits.map(({ drum }, i) => ({
          name: drumName(drum),
          notes: [{ note: drum, string: i }],
        })),
      ];
  }
}

/** From the lowest string to the highest, each from the nut on. */
function stringRows({ strings }: StringsInstrument): Place[][] {
  const order = strings.map((one, string) => ({ ...one, string })).sort((a, b) => a.open - b.open);
  return order.map(({ open, frets, string }) =>
    [0, ...frets.map((_, i) => i + 1)].map((fret) => ({
      name: `${pitchName(open)} ${fret === 0 ? 'open' : `fret ${String(fret)}`}`,
      notes: [{ note: open + fret, string }],
    })),
  );
}

/** Each pitch of the chart once, from the lowest on. */
function pipeRow({ fingerings }: HolesInstrument): Place[] {
  const notes = [...new Set(fingerings.map(({ note }) => note))].sort((a, b) => a - b);
  return notes.map((note) => ({ name: pitchName(note), notes: [{ note, string: 0 }] }));
}

/** Two neighbours at once; a pipe has only one voice. */
function pairsOf({ kind }: Instrument, rows: readonly (readonly Place[])[]): Place[] {
  if (kind === 'holes') return [];
  const singles = kind === 'strings' ? rows.map((row) => row[0]!) : rows.flat();
  return singles.slice(1).map((place, i) => ({
    name: `${singles[i]!.name} and ${place.name}`,
    notes: [...singles[i]!.notes, ...place.notes],
  }));
}

/** How long a beat is, of so many a minute. */
export function beatOf(tempo: number): Micros {
  return (60 * SECOND) / tempo;
}

/**
 * The notes that an exercise wants, in the order of time.
 *
 * @param tempo beats a minute
 */
export function wantedOf(steps: readonly Step[], tempo: number): ListedNote[] {
  const at = (beat: number): Micros => Math.round((COUNT_IN + beat) * beatOf(tempo));
  return steps.flatMap(({ beat, beats, notes, strength }) =>
    notes.map(({ note, string }) => ({
      onset: at(beat),
      offset: at(beat + LASTS * beats),
      note,
      string,
      strength,
      velocity: null,
    })),
  );
}

/** Wanted notes as a notes file has them. */
export function wantedText(notes: readonly ListedNote[]): string {
  return notes
    .map(({ onset: t, offset, note, string, strength, velocity }) => {
      const line = {
        t,
        type: 'on',
        note,
        ...(velocity === null ? {} : { velocity }),
        ...(strength === null ? {} : { strength }),
        ...(string === null ? {} : { string }),
        ...(offset === null ? {} : { duration: offset - t }),
      };
      return `${JSON.stringify(line)}\n`;
    })
    .join('');
}
