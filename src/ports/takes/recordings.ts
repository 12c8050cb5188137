import {
  lstatSync,
  mkdirSync,
  readFileSync,
  renameSync,
  rmSync,
  symlinkSync,
  unlinkSync,
  writeFileSync,
} from 'node:fs';
import { basename, dirname, join, relative, resolve, sep } from 'node:path';
import type { Notice } from '../contracts.js';
import { dateStamp } from '../files/earlier.js';
import { shown } from '../files/find.js';
import { makeFolder } from '../files/make-folder.js';
import { fileTrouble, TakeFileFault } from '../files/fault.js';

/** Beside the dated folders: the last of them. */
const LATEST = 'latest';
/** The names of dated folders. */
const DATED = /^\d{4}-\d\d-\d\dT\d{4}(-\d+)?$/;

/** Where one recording goes. */
export interface RecordingFolder {
  readonly path: string;
  /** What to tell of `latest`, where it is not a link to it. */
  readonly notice: Notice | null;
}

/** Whether a folder of this name holds one recording. */
export function isDated(name: string): boolean {
  return DATED.test(name);
}

/**
 * Makes a new folder for one recording, `directory`/2026-11-30T0910, and has `directory`/latest stand for
 * it: a link; on Windows a junction; where the disk has neither a text file with the folder's name.
 *
 * @throws TakeFileFault where it cannot be made
 */
export function newRecordingFolder(directory: string, at = new Date()): RecordingFolder {
  try {
    makeFolder(directory);
    const path = newFolder(join(directory, dateStamp(at)));
    return { path, notice: pointTo(path) };
  } catch (error) {
    throw new TakeFileFault(`${shown(directory)}: ${fileTrouble(error)}; choose another folder`);
  }
}

function newFolder(stem: string): string {
  for (let n = 1; ; n++) {
    const path = n === 1 ? stem : `${stem}-${String(n)}`;
    try {
      mkdirSync(path);
      return path;
    } catch (error) {
      if ((error as NodeJS.ErrnoException).code !== 'EEXIST') throw error;
    }
  }
}

function pointTo(path: string): Notice | null {
  const latest = join(dirname(path), LATEST);
  const is = lstatSync(latest, { throwIfNoEntry: false });
  if (is && !is.isSymbolicLink() && !(is.isFile() && is.size < 100)) {
    return {
      level: 'warn',
      what: `${shown(latest)} is something of your own, so it does not lead to this recording`,
      next: `Find it in ${shown(path)}`,
    };
  }
  const beside = `${latest}.${String(process.pid)}`;
  try {
    if (process.platform === 'win32') {
      if (is) unlinkSync(latest);
      symlinkSync(resolve(path), latest, 'junction');
    } else {
      symlinkSync(basename(path), beside);
      renameSync(beside, latest);
    }
    return null;
  } catch {
    rmSync(beside, { force: true });
  }
  try {
    if (is) unlinkSync(latest);
    writeFileSync(latest, `${basename(path)}\n`);
    const what = `This disk has no links, so ${shown(latest)} is a text file with the folder's name`;
    return { level: 'info', what, next: `${shown(join(latest, 'FILE'))} is found all the same` };
  } catch (error) {
    const what = `${shown(latest)} could not be written: ${fileTrouble(error)}`;
    return { level: 'warn', what, next: `Find this recording in ${shown(path)}` };
  }
}

/**
 * A path that leads through a `latest` that is a text file, by the folder that it names; any other path as
 * it is.
 */
export function throughLatest(path: string): string {
  const parts = path.split(/[\\/]/);
  const at = parts.lastIndexOf(LATEST);
  if (at < 0 || at === parts.length - 1) return path;
  const latest = parts.slice(0, at + 1).join(sep);
  try {
    if (!lstatSync(latest).isFile()) return path;
    const name = readFileSync(latest, 'utf8').trim();
    return isDated(name) ? [...parts.slice(0, at), name, ...parts.slice(at + 1)].join(sep) : path;
  } catch {
    return path;
  }
}

/** Of files that were written, those that are not there any more, in words for people; null: all are there. */
export function missingWords(paths: readonly string[]): string | null {
  const gone = paths.filter((path) => !lstatSync(path, { throwIfNoEntry: false }));
  if (gone.length === 0) return null;
  const names = gone.map((path) => shown(path)).join(', ');
  const [is, it] = gone.length === 1 ? ['is', 'it was'] : ['are', 'they were'];
  return `${names} ${is} not there any more: ${it} moved or removed meanwhile`;
}

/** A path below a folder with `/` between its parts. */
export function below(folder: string, path: string): string {
  return relative(folder, path).split(sep).join('/');
}
