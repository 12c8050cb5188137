import {
  NotATake,
  openTake,
  type Batches,
  type OpenTake,
  type TakeText,
} from '../../takes/read.js';
import { fileTrouble, TakeFileFault } from '../files/fault.js';
import { textOfFile } from './text.js';

/**
 * Opens a take, gzipped or not (told by its content, not its name). Only its header is read: the rest is
 * read in pieces, as its events are asked for, and again each time they are. A gzip that breaks off is
 * read as far as it goes.
 *
 * @throws TakeFileFault where the file cannot be read or is no take; whoever reads its events meets
 *   the same where it cannot be read any further
 */
export async function readTakeFile(path: string): Promise<OpenTake> {
  const fault = (error: unknown): unknown => {
    if (error instanceof TakeFileFault) return error;
    const why = error instanceof NotATake ? error.message : fileTrouble(error);
    return new TakeFileFault(`${path}: ${why}`);
  };
  let take: OpenTake;
  try {
    const text: TakeText = await textOfFile(path);
    take = await openTake(text);
  } catch (error) {
    throw fault(error);
  }
  async function* told<Event>(batches: Batches<Event>): AsyncGenerator<readonly Event[], void> {
    try {
      yield* batches;
    } catch (error) {
      throw fault(error);
    }
  }
  return {
    header: take.header,
    events: (report) => told(take.events(report)),
    lines: (parse, report) => told(take.lines(parse, report)),
  };
}
