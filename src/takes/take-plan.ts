import { isWiring, parseBuild } from '../instrument/build.js';
import { FileFault } from '../instrument/fault.js';
import { misfit } from '../instrument/fits.js';
import { padCount, parseInstrument } from '../instrument/instrument.js';
import { parseRules } from '../instrument/rules.js';
import type { Build, Instrument, Rules } from '../instrument/types.js';
import { foundWords } from '../instrument/words.js';
import type { SeatPlan } from '../pipeline.js';
import type { TakeHeader } from './take.js';

/** What a person asks for instead of what the take carries. */
export interface Instead {
  readonly instrument?: string | undefined;
  readonly build?: string | undefined;
  readonly rules?: string | undefined;
}

/** Has what a take names and does not carry. Each rejects where there is none of that name. */
export interface TakeFiles {
  instrument(name: string): Promise<Instrument>;
  build(name: string): Promise<Build>;
  rules(name: string): Promise<Rules>;
  /** The rules that a take carries, with the module that they name, where it can be had. */
  carried(rules: Rules): Promise<Rules>;
  /** How modules play; left out: the built-in logic plays instead. */
  readonly logic?: SeatPlan['logic'];
}

/** Thrown where something that it takes to run a take is missing from it, or does not fit. */
export class TakePlanFault extends Error {
  override readonly name = 'TakePlanFault';

  /**
   * @param what in words, without what to do next
   * @param instead naming this instead fixes it
   */
  constructor(
    readonly what: string,
    readonly instead: keyof Instead,
  ) {
    super(what);
  }
}

/**
 * How a take is to be played: what its header carries, unless something else is asked for.
 *
 * @param path of the take, for messages
 * @throws TakePlanFault, FileFault, or what `files` reject with
 */
export async function planTakeBy(
  path: string,
  header: TakeHeader,
  files: TakeFiles,
  instead: Instead,
): Promise<SeatPlan> {
  const instrument = await instrumentOf(path, header, files, instead);
  const build = await buildOf(path, header, files, instead);
  const rules = await rulesOf(path, header, files, instead);
  const wrong = build && misfit(instrument, build);
  if (wrong) {
    const what = `its build does not fit its instrument: found ${wrong.found}, allowed: ${wrong.allowed}`;
    throw new TakePlanFault(what, 'build');
  }
  return {
    instrument,
    rules,
    ...(files.logic ? { logic: files.logic } : {}),
    pads: {
      pads: padCount(instrument),
      build,
      ...(build === null && isWiring(header.wiring) ? { wiring: header.wiring } : {}),
      full: header.full,
      decided: header.decided === true,
      numbered: header.numbered === true,
    },
    made: header.made === true,
  };
}

const LONGEST_NAME = 200;

/** Whether a take may name a file so: no path, no file ending. */
export function isPlainName(name: string): boolean {
  const odd = /[/\\:\u0000-\u001f]|^\.|\.(ya?ml|json)$/i;
  return name.length <= LONGEST_NAME && !odd.test(name);
}

/**
 * A plain name that a take's header gives. A path is refused: it may come from anybody, and would
 * have files of this computer opened and quoted.
 */
function plainName(name: string, what: keyof Instead): string {
  if (isPlainName(name)) return name;
  throw new TakePlanFault(
    `the take names its ${what} by ${foundWords(name)}, which is not a plain name; a take may not name files by a path`,
    what,
  );
}

async function instrumentOf(
  path: string,
  header: TakeHeader,
  files: TakeFiles,
  instead: Instead,
): Promise<Instrument> {
  const named = instead.instrument ?? header.instrument;
  if (named === undefined) {
    throw new TakePlanFault('the take does not say which instrument was played', 'instrument');
  }
  if (instead.instrument !== undefined) return files.instrument(instead.instrument);
  if (typeof named === 'string') return files.instrument(plainName(named, 'instrument'));
  return parseInstrument(JSON.stringify(named), `${path} (instrument in its header)`);
}

async function buildOf(
  path: string,
  header: TakeHeader,
  files: TakeFiles,
  instead: Instead,
): Promise<Build | null> {
  const named = instead.build ?? header.build;
  if (named === undefined) return null;
  if (instead.build !== undefined) return files.build(instead.build);
  if (typeof named === 'string') return files.build(plainName(named, 'build'));
  return parseBuild(JSON.stringify(named), `${path} (build in its header)`);
}

/** A take that names no rules is played by plain; the rules that it names may be long gone, or wrong. */
async function rulesOf(
  path: string,
  header: TakeHeader,
  files: TakeFiles,
  instead: Instead,
): Promise<Rules> {
  if (instead.rules !== undefined) return files.rules(instead.rules);
  if (typeof header.rules === 'object' && header.rules !== null) {
    const rules = parseRules(JSON.stringify(header.rules), `${path} (rules in its header)`);
    if (rules.logic === null || rules.logic.code !== null) return files.carried(rules);
    throw new TakePlanFault(
      `the rules in the take name a module of their own by its path, ${foundWords(rules.logic.file)}, and do not carry it`,
      'rules',
    );
  }
  const named = typeof header.rules === 'string' ? plainName(header.rules, 'rules') : 'plain';
  try {
    return await files.rules(named);
  } catch (error) {
    if (named === 'plain' || !isMissing(error, named)) throw error;
    const what = `the rules "${named}" that the take was played by are not there`;
    throw new TakePlanFault(what, 'rules');
  }
}

/** Whether there is no file of that name: one that is there and wrong has more to say of itself. */
function isMissing(error: unknown, name: string): boolean {
  return error instanceof FileFault && error.problems.every(({ at, file }) => !at && file === name);
}
