import { dirname, resolve } from 'node:path';
import { FileFault, type Position } from '../../instrument/fault.js';
import type { Instrument, OwnCode, Rules } from '../../instrument/types.js';
import { setupOf } from '../../playing/own-logic-setup.js';
import { shown } from '../files/find.js';
import { buildLogic } from './build.js';
import { ENDLESS, thrownAt, thrownNext } from './faults.js';
import { drop, keep, kept, keptCount } from './pool.js';
import type { Ask, Told } from './shared.js';
import { livingCount, LogicThread, NoAnswer } from './thread.js';

/** A module that was read. */
export interface ReadLogic {
  readonly own: OwnCode;
  /** The absolute paths of all files in it, its own first: a change of any of them is one of it. */
  readonly files: readonly string[];
}

/** The module that each path gave last; those before it are no longer played by for long. */
const latest = new Map<string, string>();

/**
 * Reads a module of somebody's own, and tries in a thread of its own whether it loads. Playing goes on
 * meanwhile. Where this throws, nothing has changed: what was read before plays on.
 *
 * @param path absolute
 * @throws FileFault where it is missing, cannot be read, or does not load, with line and column
 */
export async function loadLogic(path: string): Promise<ReadLogic> {
  const read = await readLogic(path);
  await starts(read.own);
  return read;
}

async function readLogic(path: string): Promise<ReadLogic> {
  const { code, files } = await buildLogic(path);
  const others = files.filter((file) => file !== path);
  return { own: { file: shown(path), code }, files: [path, ...others] };
}

/** Tries whether a module loads, and forgets what its file held before. */
async function starts({ file, code }: OwnCode): Promise<void> {
  if (code === null) return;
  const path = resolve(file);
  if (keptCount(code) === 0) await startThread(path, code);
  const before = latest.get(path);
  latest.set(path, code);
  if (before !== undefined && before !== code) drop((old) => old === before);
}

/**
 * Rules with the module that they name, read, and tried.
 *
 * @param path of the rules file
 * @throws FileFault as `loadLogic`
 */
export async function withLogic(
  rules: Rules,
  path: string,
): Promise<{ rules: Rules; files: readonly string[] }> {
  const read = await withCode(rules, path);
  if (read.rules.logic && read.rules !== rules) await starts(read.rules.logic);
  return read;
}

/** The same, without trying it. */
export async function withCode(
  rules: Rules,
  path: string,
): Promise<{ rules: Rules; files: readonly string[] }> {
  if (rules.logic === null || rules.logic.code !== null) return { rules, files: [] };
  const { own, files } = await readLogic(resolve(dirname(path), rules.logic.file));
  return { rules: { ...rules, logic: own }, files };
}

/**
 * Tries whether the module of rules loads, if they have one.
 *
 * @throws FileFault
 */
export async function tryRules({ logic }: Rules): Promise<void> {
  if (logic) await starts(logic);
}

/** A seat, and rules that it plays by or may be switched to. */
export interface Play {
  readonly instrument: Instrument;
  readonly rules: Rules;
}

/**
 * Tries whether modules load and begin with what they are to play, and has a thread ready for each.
 *
 * @throws FileFault
 */
export async function tryLogics(plays: readonly Play[]): Promise<void> {
  const wanted = new Map<string, number>();
  for (const { instrument, rules } of plays) {
    const { file, code } = rules.logic ?? {};
    if (file === undefined || !code) continue;
    if (!wanted.has(code)) await starts(rules.logic!);
    const count = (wanted.get(code) ?? 0) + 1;
    wanted.set(code, count);
    while (livingCount(code) < count || keptCount(code) === 0) await startThread(file, code);
    const thread = kept(code);
    if (!thread) continue;
    await told(thread, file, { ask: 'begin', setup: setupOf(instrument, rules) });
    keep(thread);
  }
}

/**
 * Ends threads that nobody plays by and that are more than those who play may need: a seat that has left
 * leaves its own behind.
 *
 * @param played what seats play by, and what they may be switched to
 */
export function endSpareLogics(played: readonly Rules[]): void {
  const wanted = new Map<string, number>();
  for (const { logic } of played) {
    if (logic?.code) wanted.set(logic.code, (wanted.get(logic.code) ?? 0) + 1);
  }
  drop((code) => livingCount(code) > (wanted.has(code) ? wanted.get(code)! + 1 : 0));
}

async function startThread(file: string, code: string): Promise<void> {
  const thread = new LogicThread(code);
  await told(thread, file);
  for (let i = 0; i < WARM_CALLS && thread.alive; i++) await told(thread, file, WARM);
  keep(thread);
}

/** Refuses a module with which something is wrong, and ends its thread. */
async function told(thread: LogicThread, file: string, ask?: Ask): Promise<void> {
  let heard: Told;
  try {
    heard = await thread.later(ask);
  } catch (error) {
    if (!(error instanceof NoAnswer)) throw error;
    throw refused(file, null, error.message, ENDLESS);
  }
  const { thrown } = heard;
  if (!thrown) return;
  thread.end();
  const place = thrownAt(thrown, thread.code);
  const where = place ? resolve(dirname(file), place.file) : file;
  throw refused(where, place?.at ?? null, thrown.message, thrownNext(thrown));
}

function refused(file: string, at: Position | null, what: string, next: string): FileFault {
  const allowed = 'one that loads and begins';
  const fix = next.replace(/\.$/, '');
  const found = `a module that fails: ${what}`;
  return new FileFault([{ file: shown(file), at, key: '', found, allowed, fix }]);
}

/** The first calls of anything are slow. */
const WARM_CALLS = 20;
const WARM: Ask = {
  ask: 'nothing',
  event: { type: 'strike', t: 1_234_567, pad: 12, strength: 0.625, onset: 1_230_567 },
};
