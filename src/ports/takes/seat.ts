import type { From, OwnCode } from '../../instrument/types.js';
import type { Report, Take } from '../../takes/read.js';
import type { TakeHeader } from '../../takes/take.js';
import type { WireEvent } from '../../wire/scan.js';
import { readTakeFile } from './read.js';
import { seatOfTake } from './room-plan.js';
import { textOfFile } from './text.js';
import { moduleIn, type Trust } from './trust.js';

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

/**
 * What the seat plays from its take, which is opened as the first of it is asked for. Modules that the take
 * brings into play and that may not run are left out: the rules before them play on.
 *
 * @param refused told of each of these
 */
export async function* takeReadings(
  from: FromTake,
  report: Report,
  trust: Trust,
  refused: (own: OwnCode) => void,
): AsyncGenerator<readonly WireEvent[], void> {
  for await (const batch of (await open(from)).events(report)) {
    yield batch.map((event) => {
      const own = moduleIn(event);
      if (event.type !== 'swap' || !own || trust.knows(own)) return event;
      refused(own);
      const { rules, ...others } = event;
      void rules;
      return others;
    });
  }
}

/**
 * The modules that a take brings into play, for whoever asks about them before it is played.
 *
 * @throws FileFault or TakeFileFault
 */
export async function modulesOf(from: FromTake): Promise<OwnCode[]> {
  // Hardly any take has one, which is seen at a glance.
  let before = '';
  let some = false;
  for await (const piece of (await textOfFile(from.take))()) {
    some = `${before}${piece}`.includes(MARK);
    if (some) break;
    before = piece.slice(1 - MARK.length);
  }
  const found = new Map<string, OwnCode>();
  if (!some) return [];
  for await (const batch of (await open(from)).events(() => undefined)) {
    for (const event of batch) {
      const own = moduleIn(event);
      if (own) found.set(own.code ?? '', own);
    }
  }
  return [...found.values()];
}

const MARK = '"swap"';
