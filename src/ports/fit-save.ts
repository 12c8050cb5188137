import { link, mkdir, open, rename, rm } from 'node:fs/promises';
import { basename, dirname, join } from 'node:path';
import { homeOf, shown } from './files-find.js';
import { fileTrouble, TakeFileFault } from './take-file.js';

/** Where rules of a name, or of a path, are kept. */
export function rulesHome(name: string, folder: string): string {
  return homeOf('rules', name, folder);
}

/**
 * Writes a new file in one piece: beside it first, so that whoever reads it meanwhile, and a power
 * cut, find all of it or nothing.
 *
 * @param force replaces a file that is there
 * @throws TakeFileFault where it is there and not to be replaced, or cannot be written
 */
export async function saveNew(path: string, text: string, force: boolean): Promise<void> {
  const beside = join(dirname(path), `.${basename(path)}.${String(process.pid)}.part`);
  try {
    await mkdir(dirname(path), { recursive: true });
    const file = await open(beside, 'w');
    try {
      await file.writeFile(text);
      await file.sync();
    } finally {
      await file.close();
    }
    if (force) await rename(beside, path);
    else await link(beside, path);
  } catch (error) {
    const there = (error as NodeJS.ErrnoException).code === 'EEXIST';
    throw new TakeFileFault(
      there ? alreadyThere(path) : `${shown(path)}: ${fileTrouble(error)}; choose another place`,
    );
  } finally {
    await rm(beside, { force: true }).catch(() => undefined);
  }
}

export function alreadyThere(path: string): string {
  return `${shown(path)}: there is such a file already; choose another name, or replace it with --force`;
}
