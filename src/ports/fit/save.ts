import { earlierWords, keepEarlier, type EarlierWords } from '../files/earlier.js';
import { homeOf, shown } from '../files/find.js';
import { fileTrouble, TakeFileFault } from '../files/fault.js';
import { writeInOnePiece } from '../files/whole-file.js';

/** Where rules of a name, or of a path, are kept. */
export function rulesHome(name: string, folder: string): string {
  return homeOf('rules', name, folder);
}

/**
 * Writes a new file in one piece.
 *
 * @param force replaces a file that is there, which stays in `earlier/` beside it
 * @returns what to say of one that stays; null where there was none
 * @throws TakeFileFault where it is there and not to be replaced, or cannot be written
 */
export async function saveNew(
  path: string,
  text: string,
  force: boolean,
): Promise<EarlierWords | null> {
  try {
    const kept = force ? keepEarlier(path, text) : null;
    await writeInOnePiece(path, text, force);
    return kept === null ? null : earlierWords(path, kept);
  } catch (error) {
    const { code, syscall } = error as NodeJS.ErrnoException;
    // Where a file stands for its folder, the system says the same of making that.
    const there = code === 'EEXIST' && syscall === 'link';
    throw new TakeFileFault(
      there ? alreadyThere(path) : `${shown(path)}: ${fileTrouble(error)}; choose another place`,
    );
  }
}

export function alreadyThere(path: string): string {
  return `${shown(path)}: there is such a file already; choose another name, or replace it with --force`;
}
