import type { SeatPlan } from '../../pipeline.js';
import type { Stretch } from '../../fit/marks.js';
import type { ListedNote } from '../../takes/read-notes.js';
import { ReadingLimit } from '../../takes/limits.js';
import type { TakeProblem } from '../../takes/take.js';
import type { Reset } from '../../time/events.js';
import type { Micros } from '../../time/micros.js';
import type { Scan } from '../../wire/scan.js';
import { readTakeFile } from '../takes/read.js';
import { seatOfTake } from '../takes/room-plan.js';

/** A take to be run by many rule sets; it can be sent to a thread. */
export interface FitTake {
  readonly path: string;
  /** Which seat, where it is of a whole room. */
  readonly seat: string | undefined;
  readonly plan: Pick<SeatPlan, 'instrument' | 'pads'>;
  /** In the order of time, in the take's own time. */
  readonly wanted: readonly ListedNote[];
  /** What is scored by itself: all of it, or stretches between silences. */
  readonly stretches: readonly Stretch[];
  /** Where its beginning ends that is looked at first; null: it is too short for that. */
  readonly brief: Micros | null;
  /** How far the onset of a right note may be from the wanted one. */
  readonly window: Micros;
}

/** The readings of one take. */
export interface Readings {
  readonly events: readonly (Scan | Reset)[];
  readonly problems: readonly TakeProblem[];
  /** When other files came into play: rules first, then an instrument or a build. Null: never. */
  readonly swapped: { readonly rules: Micros | null; readonly unit: Micros | null };
}

/** More lines that cannot be read are not listed. */
const MOST_PROBLEMS = 10_000;

/**
 * Reads a take of one seat into memory. Rules that were changed while it was recorded are left out:
 * others are to be tried on all of it.
 *
 * @throws TakeFileFault, FileFault, or TakeTooLong
 */
export async function readReadings(path: string, seat: string | undefined): Promise<Readings> {
  const take = seatOfTake(path, await readTakeFile(path), seat, { by: '--seat' });
  const events: (Scan | Reset)[] = [];
  const problems: TakeProblem[] = [];
  const swapped: { rules: Micros | null; unit: Micros | null } = { rules: null, unit: null };
  let inputs: readonly number[] = [];
  const limit = new ReadingLimit('finding rules');
  for await (const batch of take.events((problem) => {
    if (problems.length < MOST_PROBLEMS) problems.push(problem);
  })) {
    for (const event of batch) {
      limit.hold(event);
      if (event.type === 'scan') {
        // Nearly all scans name the same inputs: one list of them will do.
        if (!alike(event.inputs, inputs)) inputs = event.inputs;
        events.push({ ...event, inputs });
      } else if (event.type === 'reset') events.push(event);
      else if (event.type === 'swap') {
        if (event.rules) swapped.rules ??= event.t;
        if (event.instrument ?? event.build !== undefined) swapped.unit ??= event.t;
      }
    }
  }
  return { events, problems, swapped };
}

function alike(a: readonly number[], b: readonly number[]): boolean {
  return a.length === b.length && a.every((one, i) => one === b[i]);
}
