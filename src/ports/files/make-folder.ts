import { mkdirSync, statSync } from 'node:fs';
import { dirname } from 'node:path';

/**
 * Makes a folder and those above it, where there are none. Node's own way answers ENOENT where the disk is
 * read-only, and never comes back where the system has folders that nobody may add to.
 *
 * @throws the system's error: EROFS, EACCES, ENOTDIR where a file is in the way …
 */
export function makeFolder(path: string): void {
  try {
    mkdirSync(path);
  } catch (error) {
    const { code } = error as NodeJS.ErrnoException;
    if (isFolder(path)) return;
    if (code !== 'ENOENT' || dirname(path) === path) throw error;
    makeFolder(dirname(path));
    mkdirSync(path);
  }
}

function isFolder(path: string): boolean {
  return statSync(path, { throwIfNoEntry: false })?.isDirectory() === true;
}
