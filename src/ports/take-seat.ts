import type { From } from '../instrument/types.js';
import type { Report, Take } from '../takes/read.js';
import type { TakeHeader } from '../takes/take.js';
import type { WireEvent } from '../wire/scan.js';
import { readTakeFile } from './take-read.js';
import { seatOfTake } from './take-room-plan.js';

/** What a seat that plays from a take says of it. */
export type FromTake = Extract<From, { take: string }>;

/** A take of a whole room needs the seat whose part is played. */
async function open({ take, seat }: FromTake): Promise<Take> {
  return seatOfTake(take, await readTakeFile(take), seat, { by: '"seat:" beside "take:"' });
}

/**
 * The header of the seat's part of a take.
 *
 * @throws FileFault or TakeFileFault
 */
export async function headerOfTake(from: FromTake): Promise<TakeHeader> {
  return (await open(from)).header;
}

/** What the seat plays from its take, which is opened as the first of it is asked for. */
export async function* takeReadings(
  from: FromTake,
  report: Report,
): AsyncGenerator<readonly WireEvent[], void> {
  yield* (await open(from)).events(report);
}
