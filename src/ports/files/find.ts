import type { Stats } from 'node:fs';
import { readdir, readFile, stat } from 'node:fs/promises';
import { basename, dirname, extname, isAbsolute, join, relative, resolve, sep } from 'node:path';
import { fileURLToPath } from 'node:url';
import { encodingFault } from '../../instrument/encoding.js';
import { FileFault } from '../../instrument/fault.js';
import { nearest } from '../../instrument/near.js';
import { fileTrouble } from './fault.js';

/** The kinds of files that are looked for by name. */
export type Kind = 'instrument' | 'rules' | 'room' | 'build' | 'engine';

const KINDS: Readonly<Record<Kind, { folder: string; endings: readonly string[]; words: string }>> =
  {
    instrument: { folder: 'instruments', endings: ['.yaml', '.yml'], words: 'an instrument' },
    rules: { folder: 'rules', endings: ['.yaml', '.yml'], words: 'rules' },
    room: { folder: 'rooms', endings: ['.yaml', '.yml'], words: 'a room' },
    build: { folder: 'builds', endings: ['.json'], words: 'a build' },
    engine: { folder: 'engines', endings: ['.yaml', '.yml'], words: 'engine messages' },
  };

/** The worked examples that come with the program; beside src as well as beside dist. */
export const SHIPPED = fileURLToPath(new URL('../../../config/', import.meta.url));

/** Far more than any file that a person writes; what is larger is some other file. */
const LARGEST = 1_000_000;

/** A file that was looked for: where it is, or what to say about its not being there. */
export type Search =
  | { readonly path: string }
  | { readonly path: null; readonly allowed: string; readonly fix: string };

/** Told each path at which a file would be the one that is looked for, until one is found. */
export type Looked = (path: string) => void;

/**
 * Looks for a file. A name that holds a slash or ends in .yaml, .yml or .json is a path from
 * `folder`; any other is a file of that name in the kind's own folder, in `folder` first and then
 * among the shipped ones.
 */
export async function search(
  kind: Kind,
  name: string,
  folder: string,
  looked: Looked = () => undefined,
): Promise<Search> {
  const { endings, words } = KINDS[kind];
  if (isPath(name)) {
    const path = resolve(folder, name);
    looked(path);
    return searchPath(path, words, kind, folder);
  }
  const places = placesOf(kind, folder);
  for (const place of places) {
    for (const ending of endings) {
      const path = join(place, name + ending);
      looked(path);
      if (await isFile(path)) return { path };
    }
  }
  const known = await namesOf(kind, folder);
  return {
    path: null,
    allowed: `${words} in ${places.map((one) => shown(one)).join(' or ')}`,
    fix: offer(
      name,
      known,
      kind === 'build'
        ? 'Calibrate the unit, which writes this file'
        : `Put a file ${name}${endings[0]!} into ${shown(places[0]!)}`,
    ),
  };
}

/** Looks for a file by a path from `folder`, where none of our kinds says more about it. */
export async function searchPath(
  path: string,
  words: string,
  kind?: Kind,
  folder?: string,
): Promise<Search> {
  const there = await kindOf(path);
  if (there?.isFile()) return { path };
  if (there?.isDirectory()) {
    const fix = orOneOf('That is a folder: name a file in it', await filesIn(path));
    return { path: null, allowed: `${words} at ${shown(path)}`, fix };
  }
  const bare = basename(path, extname(path));
  const known = kind && folder !== undefined ? await namesOf(kind, folder) : [];
  const fix = known.includes(bare)
    ? `Write the name alone: ${bare}`
    : offer(basename(path), await filesIn(dirname(path)), 'Check the path');
  return { path: null, allowed: `${words} at ${shown(path)}`, fix };
}

/**
 * The path of a file that `search` looks for.
 *
 * @throws FileFault where there is none, with where it was looked for and near names
 */
export async function findFile(
  kind: Kind,
  name: string,
  folder: string,
  looked?: Looked,
): Promise<string> {
  const found = await search(kind, name, folder, looked);
  if (found.path !== null) return found.path;
  const { allowed, fix } = found;
  throw new FileFault([{ file: name, at: null, key: '', found: 'no such file', allowed, fix }]);
}

/**
 * Reads a text file that people write.
 *
 * @throws FileFault where it cannot be read, is far too large, or is no UTF-8 text
 */
export async function readText(path: string): Promise<string> {
  const refuse = (found: string, allowed: string, fix: string, line?: number | null): FileFault => {
    const at = line === undefined || line === null ? null : { line, column: 1 };
    return new FileFault([{ file: shown(path), at, key: '', found, allowed, fix }]);
  };
  let bytes: Buffer;
  try {
    const { size } = await stat(path);
    if (size > LARGEST) {
      const fix = 'Check that this is the file you meant';
      throw refuse(`${String(size)} bytes`, 'a text file of at most a million', fix);
    }
    bytes = await readFile(path);
  } catch (error) {
    if (error instanceof FileFault) throw error;
    const trouble = fileTrouble(error);
    throw refuse(`a file that cannot be read (${trouble})`, 'a text file', 'Check the file');
  }
  const wrong = encodingFault(bytes);
  if (wrong) throw refuse(wrong.found, 'UTF-8 text', wrong.fix, wrong.line);
  return new TextDecoder().decode(bytes);
}

/** Names of all files of a kind that a bare name would find. */
export async function namesOf(kind: Kind, folder: string): Promise<string[]> {
  const { endings } = KINDS[kind];
  const lists = await Promise.all(placesOf(kind, folder).map(filesIn));
  const names = lists.flat().flatMap((file) => {
    const ending = endings.find((one) => file.endsWith(one));
    return ending === undefined ? [] : [file.slice(0, -ending.length)];
  });
  return [...new Set(names)].sort();
}

/** Where a file of a kind is kept that `name` stands for, whether it is there or not. */
export function homeOf(kind: Kind, name: string, folder: string): string {
  const { folder: own, endings } = KINDS[kind];
  return isPath(name) ? resolve(folder, name) : resolve(folder, own, name + endings[0]!);
}

/** A path as messages show it: from where the program runs, or from another folder, if it is below that. */
export function shown(path: string, from = process.cwd()): string {
  const short = relative(from, path);
  return short === '' || short.startsWith('..') || isAbsolute(short) ? path : short;
}

function isPath(name: string): boolean {
  return /[\\/]/.test(name) || /\.(ya?ml|json)$/i.test(name);
}

function placesOf(kind: Kind, folder: string): string[] {
  const own = KINDS[kind].folder;
  return [...new Set([resolve(folder, own), join(SHIPPED, own)].map(withoutSlash))];
}

function withoutSlash(path: string): string {
  return path.endsWith(sep) ? path.slice(0, -1) : path;
}

function offer(name: string, known: readonly string[], otherwise: string): string {
  const near = nearest(name, known);
  return near === undefined ? orOneOf(otherwise, known) : `Did you mean "${near}"?`;
}

function orOneOf(otherwise: string, known: readonly string[]): string {
  if (known.length === 0) return otherwise;
  const more = known.length > 8 ? ', …' : '';
  return `${otherwise}, or use one of these: ${known.slice(0, 8).join(', ')}${more}`;
}

async function isFile(path: string): Promise<boolean> {
  // A name with a zero byte, or one too long for the disk, is no file either.
  return (await kindOf(path))?.isFile() === true;
}

function kindOf(path: string): Promise<Stats | null> {
  return stat(path).catch(() => null);
}

async function filesIn(folder: string): Promise<string[]> {
  const entries = await readdir(folder, { withFileTypes: true }).catch(() => []);
  return entries.filter((entry) => !entry.isDirectory()).map(({ name }) => name);
}
