import { once } from 'node:events';
import { EXIT } from './cli.js';

type Gone = () => void;

const leave: Gone = () => process.exit(EXIT.done);
let whenGone = leave;

/**
 * Whoever reads our output may go away early (a pipe into head): that is no failure. Without
 * `onReaderGone` the program ends then; where nobody reads the messages, it goes on without a word.
 */
export function watchOutput(): void {
  process.stdout.on('error', (error: NodeJS.ErrnoException) => {
    if (error.code !== 'EPIPE') throw error;
    whenGone();
  });
  process.stderr.on('error', (error: NodeJS.ErrnoException) => {
    if (error.code !== 'EPIPE') throw error;
  });
}

/** Resolves when standard output has taken what was written to it: a reader may be slow. */
export async function outputDrained(): Promise<void> {
  if (process.stdout.writableNeedDrain) await once(process.stdout, 'drain');
}

/**
 * For what must not just end, since something sounds: what to do instead when nobody reads standard
 * output any more. It is called again at each line that goes nowhere.
 *
 * @returns takes it back
 */
export function onReaderGone(work: Gone): () => void {
  whenGone = work;
  return () => {
    whenGone = leave;
  };
}
