import { formatBuild, parseBuild } from '../../instrument/build.js';
import { FileFault } from '../../instrument/fault.js';
import { parseInstrument } from '../../instrument/instrument.js';
import { parseRoom } from '../../instrument/room.js';
import { parseRules } from '../../instrument/rules.js';
import type { Build, Instrument, OscMessages, Room, Rules } from '../../instrument/types.js';
import { earlierWords, keepEarlier, type EarlierWords } from './earlier.js';
import { findFile, homeOf, readText, shown, type Kind } from './find.js';
import { parseTemplates } from './templates.js';
import { withCode, withLogic } from '../logic/load.js';
import { fileTrouble } from './fault.js';
import { tryToWrite, writeInOnePiece } from './whole-file.js';

/*
 * In all of these `name` is a bare name or a path, and `folder` is where the person keeps their
 * files; see `search`. Each throws FileFault where there is no such file or something is wrong in it.
 */

export function loadInstrument(name: string, folder: string): Promise<Instrument> {
  return load('instrument', name, folder, parseInstrument);
}

export async function loadRules(name: string, folder: string): Promise<Rules> {
  const path = await findFile('rules', name, folder);
  const parsed = parseRules(await readText(path), shown(path));
  return (await withLogic(parsed, path)).rules;
}

/** The same without starting their module, which only the thread that plays it can; see `tryRules`. */
export async function readRules(name: string, folder: string): Promise<Rules> {
  const path = await findFile('rules', name, folder);
  const parsed = parseRules(await readText(path), shown(path));
  return (await withCode(parsed, path)).rules;
}

export function loadBuild(name: string, folder: string): Promise<Build> {
  return load('build', name, folder, parseBuild);
}

export function loadOscMessages(name: string, folder: string): Promise<OscMessages> {
  return load('engine', name, folder, parseTemplates);
}

/** Loads the room file alone; `loadWholeRoom` also loads what it names. */
export function loadRoom(name: string, folder: string): Promise<Room> {
  return load('room', name, folder, parseRoom);
}

/** A build that was written. */
export interface SavedBuild {
  readonly path: string;
  /** What was told of the build that was there before, for people; null where there was none, or the same. */
  readonly earlier: EarlierWords | null;
}

/**
 * Keeps a build as FOLDER/builds/NAME.json, or at the path that `name` is, in one piece. One that is there
 * already stays, in `earlier/` beside it.
 *
 * @throws FileFault where it could not be written, or would not be read again as it is
 */
export async function saveBuild(build: Build, name: string, folder: string): Promise<SavedBuild> {
  const path = homeOf('build', name, folder);
  const text = formatBuild(build);
  parseBuild(text, shown(path));
  try {
    const kept = keepEarlier(path, text);
    await writeInOnePiece(path, text, true);
    return { path, earlier: kept === null ? null : earlierWords(path, kept) };
  } catch (error) {
    throw unwritable(path, error);
  }
}

/**
 * Tries whether a build could be kept, before somebody touches all pads for it.
 *
 * @throws FileFault where not
 */
export function tryBuild(name: string, folder: string): void {
  const path = homeOf('build', name, folder);
  try {
    tryToWrite(path);
  } catch (error) {
    throw unwritable(path, error);
  }
}

function unwritable(path: string, error: unknown): FileFault {
  const found = `that it cannot be written (${fileTrouble(error)})`;
  const allowed = 'a folder that this user may write to, with room on the disk';
  const fix = 'Choose another folder or make room, then begin again';
  return new FileFault([{ file: shown(path), at: null, key: '', found, allowed, fix }]);
}

async function load<Value>(
  kind: Kind,
  name: string,
  folder: string,
  parse: (text: string, file: string) => Value,
): Promise<Value> {
  const path = await findFile(kind, name, folder);
  return parse(await readText(path), shown(path));
}
