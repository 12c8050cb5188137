import { earlierWords, moveEarlier } from '../ports/earlier.js';
import { shown } from '../ports/files-find.js';
import { fileTrouble, TakeFileFault, writeWhole } from '../ports/take-file.js';
import type { Call } from './cli.js';

/**
 * Writes a result to a file. What is there already may be somebody's work, such as wanted notes written by
 * hand: it stays in `earlier/` beside it, and it is said.
 *
 * @throws TakeFileFault where it cannot be written
 */
export function writeResult(path: string, result: string | Uint8Array, call: Call): void {
  const bytes = typeof result === 'string' ? new TextEncoder().encode(result) : result;
  makeWay(path, call, bytes);
  writeWhole(path, bytes);
}

/**
 * The same for a file that is written piece by piece: moves away what is there.
 *
 * @param now what is to be there instead, where that is known: the same is not kept twice
 * @throws TakeFileFault where it cannot be moved
 */
export function makeWay(path: string, call: Call, now?: Uint8Array): void {
  let kept: string | null;
  try {
    kept = moveEarlier(path, now);
  } catch (error) {
    throw new TakeFileFault(`${shown(path)}: ${fileTrouble(error)}`);
  }
  if (kept !== null) call.tell({ level: 'info', ...earlierWords(path, kept) });
}
