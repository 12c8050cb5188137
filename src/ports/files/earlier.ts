import {
  constants,
  copyFileSync,
  linkSync,
  readFileSync,
  realpathSync,
  statSync,
  unlinkSync,
} from 'node:fs';
import { basename, dirname, join } from 'node:path';
import { shown } from './find.js';
import { makeFolder } from './make-folder.js';

/** The folder, beside a file, in which earlier ones of its name are kept. */
const EARLIER = 'earlier';

/**
 * A moment as part of a file's name, in this computer's own time.
 *
 * @example dateStamp(new Date(2031, 4, 6, 9, 8)) // '2031-05-06T0908'
 */
export function dateStamp(at: Date): string {
  const two = (value: number): string => String(value).padStart(2, '0');
  const day = [at.getFullYear(), at.getMonth() + 1, at.getDate()].map(two).join('-');
  return `${day}T${two(at.getHours())}${two(at.getMinutes())}`;
}

/**
 * Has a file that is about to be replaced stay, beside it in `earlier/`, under the date of its last change:
 * `builds/north.json` as `builds/earlier/north-2026-11-30T0910.json`. Nothing that is there is replaced.
 *
 * @param now what is to be there instead: where that is the same, nothing is kept twice
 * @returns the path that it is kept as; null where there was no file
 * @throws the system's error where it cannot be kept; then it is still where it was
 */
export function keepEarlier(path: string, now?: string | Uint8Array): string | null {
  const is = statSync(path, { throwIfNoEntry: false });
  if (!is?.isFile()) return null;
  if (now !== undefined && readFileSync(path).equals(Buffer.from(now))) return null;
  const folder = join(dirname(path), EARLIER);
  makeFolder(folder);
  const [, stem = '', ending = ''] = /^(.+?)((?:\.\w+){0,3})$/.exec(basename(path)) ?? [];
  for (let n = 1; ; n++) {
    const more = n === 1 ? '' : `-${String(n)}`;
    const kept = join(folder, `${stem}-${dateStamp(is.mtime)}${more}${ending}`);
    if (copied(path, kept)) return kept;
  }
}

/** The same for a file that is written in its place, from the beginning: it is moved away. */
export function moveEarlier(path: string, now?: string | Uint8Array): string | null {
  const kept = keepEarlier(path, now);
  if (kept !== null) unlinkSync(path);
  return kept;
}

/** False where there is such a file already. */
function copied(from: string, to: string): boolean {
  try {
    try {
      // Not a link to a link, which would lead elsewhere from another folder.
      linkSync(realpathSync(from), to);
    } catch (error) {
      if ((error as NodeJS.ErrnoException).code === 'EEXIST') throw error;
      // Some disks have no links.
      copyFileSync(from, to, constants.COPYFILE_EXCL);
    }
    return true;
  } catch (error) {
    if ((error as NodeJS.ErrnoException).code === 'EEXIST') return false;
    throw error;
  }
}

/** What to tell of a file that was kept, and how to go back to it. */
export interface EarlierWords {
  readonly what: string;
  readonly next: string;
}

export function earlierWords(path: string, kept: string): EarlierWords {
  return {
    what: `What was there before is kept as ${shown(kept)}`,
    next: `To go back to it, copy it over ${shown(path)}`,
  };
}
