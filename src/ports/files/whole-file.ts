import { rmSync, statSync, writeFileSync } from 'node:fs';
import { link, open, rename, rm } from 'node:fs/promises';
import { basename, dirname, join } from 'node:path';
import { makeFolder } from './make-folder.js';

/**
 * Tries whether `writeInOnePiece` could write a file: makes its folder, and a file beside it that is
 * removed at once.
 *
 * @throws the system's error where not
 */
export function tryToWrite(path: string): void {
  const beside = partOf(path);
  if (statSync(path, { throwIfNoEntry: false })?.isDirectory() === true) {
    throw Object.assign(new Error('it is a folder'), { code: 'EISDIR' });
  }
  makeFolder(dirname(path));
  try {
    // More than nothing: a full disk still takes empty files.
    writeFileSync(beside, 'x'.repeat(4_096));
  } finally {
    rmSync(beside, { force: true });
  }
}

function partOf(path: string): string {
  return join(dirname(path), `.${basename(path)}.${String(process.pid)}.part`);
}

/**
 * Writes a file in one piece: beside it first, so that whoever reads it meanwhile, and a power cut,
 * find the old or the new one whole. Makes its folder.
 *
 * @param replace whether a file that is there is replaced; if not, the error's code is EEXIST
 * @throws the system's error where it could not be written; nothing is left beside it
 */
export async function writeInOnePiece(path: string, text: string, replace: boolean): Promise<void> {
  const beside = partOf(path);
  try {
    makeFolder(dirname(path));
    const file = await open(beside, 'w');
    try {
      await file.writeFile(text);
      await file.sync();
    } finally {
      await file.close();
    }
    if (replace) await rename(beside, path);
    else await link(beside, path);
  } finally {
    await rm(beside, { force: true }).catch(() => undefined);
  }
}
