import { realpathSync, renameSync, rmSync, statSync } from 'node:fs';
import { basename, dirname, extname, join, resolve } from 'node:path';
import { earlierWords, keepEarlier, moveEarlier } from '../ports/files/earlier.js';
import { shown } from '../ports/files/find.js';
import { fileTrouble, TakeFileFault } from '../ports/files/fault.js';
import { writeWhole } from '../ports/takes/file.js';
import { tryToWrite } from '../ports/files/whole-file.js';
import { textOf, UsageFault, type Call } from './cli.js';

/** Endings of files that people write, which no result is. */
const WRITTEN_BY_PEOPLE = new Set(['.yaml', '.yml', '.ts', '.js', '.mjs']);

/**
 * Looks at the files that a command is to write, before it reads or writes anything.
 *
 * @param options those that name a file to write; `-` is standard output
 * @param inputs files that the command reads, and what each is in words
 * @throws UsageFault where one would be written over what is read, over another, or over a room or rules
 */
export function checkOutputs(
  call: Call,
  options: readonly string[],
  inputs: Readonly<Record<string, string | undefined>>,
): void {
  const taken = new Map<string, string>();
  for (const [is, path] of Object.entries(inputs)) {
    if (path !== undefined) taken.set(realPath(path), is);
  }
  for (const option of options) {
    const path = textOf(call, option);
    if (path === undefined || path === '-') continue;
    const is = taken.get(realPath(path));
    if (is !== undefined) {
      throw new UsageFault(`--${option} ${path} is ${is}: choose another file to write to`);
    }
    const ending = extname(path).toLowerCase();
    if (WRITTEN_BY_PEOPLE.has(ending)) {
      throw new UsageFault(
        `--${option} ${path} would be a file that people write (${ending}): choose a name with another ending`,
      );
    }
    taken.set(realPath(path), `written by --${option} too`);
  }
}

/** One file has one such path, whatever links lead to it; of one that is not there yet, its folder has. */
function realPath(path: string): string {
  try {
    return realpathSync(path);
  } catch {
    try {
      return join(realpathSync(dirname(path)), basename(path));
    } catch {
      return resolve(path);
    }
  }
}

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
 * The same for a file that is written piece by piece as it comes about: moves away what is there.
 *
 * @param now what is to be there instead, where that is known: the same is not kept twice
 * @throws TakeFileFault where it cannot be moved
 */
export function makeWay(path: string, call: Call, now?: Uint8Array): void {
  tellKept(path, call, () => moveEarlier(path, now));
}

/** A result that is written piece by piece beside its place, which is taken only by what is whole. */
export interface Piecewise {
  /** Where to write it meanwhile. */
  readonly part: string;
  /** Puts it in its place; what is there goes to `earlier/`. Throws TakeFileFault. */
  done(): void;
  /** Takes what was written away again. What is in its place stays as it is. */
  drop(): void;
}

/** @throws TakeFileFault where it cannot be written, so that nothing is made in vain */
export function piecewise(path: string, call: Call): Piecewise {
  try {
    const is = statSync(path, { throwIfNoEntry: false });
    // A pipe or a terminal: nothing is lost there, and nothing can be put in its place.
    if (is && !is.isFile() && !is.isDirectory()) {
      return { part: path, done: () => undefined, drop: () => undefined };
    }
    tryToWrite(path);
  } catch (error) {
    throw new TakeFileFault(`${shown(path)}: ${fileTrouble(error)}`);
  }
  const ending = extname(path);
  const part = `${path.slice(0, path.length - ending.length)}.part${ending}`;
  return {
    part,
    done: () => {
      tellKept(path, call, () => {
        const kept = keepEarlier(path);
        renameSync(part, path);
        return kept;
      });
    },
    drop: () => {
      rmSync(part, { force: true });
    },
  };
}

function tellKept(path: string, call: Call, replace: () => string | null): void {
  let kept: string | null;
  try {
    kept = replace();
  } catch (error) {
    throw new TakeFileFault(`${shown(path)}: ${fileTrouble(error)}`);
  }
  if (kept !== null) call.tell({ level: 'info', ...earlierWords(path, kept) });
}
