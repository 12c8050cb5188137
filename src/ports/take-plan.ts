import { formatBuild, parseBuild } from '../instrument/build.js';
import { FileFault } from '../instrument/fault.js';
import { misfit } from '../instrument/fits.js';
import { instrumentAsWritten, padCount, parseInstrument } from '../instrument/instrument.js';
import { parseRules } from '../instrument/rules.js';
import type { Build, Instrument, Rules } from '../instrument/types.js';
import type { SeatPlan } from '../pipeline.js';
import { TAKE_VERSION, type TakeHeader } from '../takes/take.js';
import { loadBuild, loadInstrument, loadRules } from './files.js';
import { withLogic } from './logic-load.js';
import { logicsWith } from './logic-pool.js';
import { TAKE_PATIENCE } from './logic-thread.js';
import { TakeFileFault } from './take-file.js';

/** What a person asks for instead of what the take carries. */
export interface Instead {
  readonly instrument?: string | undefined;
  readonly build?: string | undefined;
  readonly rules?: string | undefined;
}

/**
 * How a take is to be played: what its header carries, unless something else is asked for.
 *
 * @param path of the take, for messages
 * @throws FileFault or TakeFileFault where something is missing, wrong, or does not fit
 */
export async function planTake(
  path: string,
  header: TakeHeader,
  folder: string,
  instead: Instead,
): Promise<SeatPlan> {
  const instrument = await instrumentOf(path, header, folder, instead);
  const build = await buildOf(path, header, folder, instead);
  const rules = await rulesOf(path, header, folder, instead);
  const wrong = build && misfit(instrument, build);
  if (wrong) {
    throw new TakeFileFault(
      `${path}: its build does not fit its instrument: found ${wrong.found}, allowed: ${wrong.allowed}; ` +
        'name others with --build or --instrument',
    );
  }
  return {
    instrument,
    rules,
    logic: logicsWith(TAKE_PATIENCE),
    pads: {
      pads: padCount(instrument),
      build,
      full: header.full,
      decided: header.decided === true,
    },
    made: header.made === true,
  };
}

async function instrumentOf(
  path: string,
  header: TakeHeader,
  folder: string,
  instead: Instead,
): Promise<Instrument> {
  const named = instead.instrument ?? header.instrument;
  if (named === undefined) {
    throw new TakeFileFault(
      `${path}: the take does not say which instrument was played; name it with --instrument`,
    );
  }
  if (typeof named === 'string') return loadInstrument(named, folder);
  return parseInstrument(JSON.stringify(named), `${path} (instrument in its header)`);
}

async function buildOf(
  path: string,
  header: TakeHeader,
  folder: string,
  instead: Instead,
): Promise<Build | null> {
  const named = instead.build ?? header.build;
  if (named === undefined) return null;
  if (typeof named === 'string') return loadBuild(named, folder);
  return parseBuild(JSON.stringify(named), `${path} (build in its header)`);
}

/** A take names the rules it was played by, but they may be long gone: then plain will do. */
async function rulesOf(
  path: string,
  header: TakeHeader,
  folder: string,
  instead: Instead,
): Promise<Rules> {
  if (instead.rules !== undefined) return loadRules(instead.rules, folder);
  if (typeof header.rules === 'object' && header.rules !== null) {
    const rules = parseRules(JSON.stringify(header.rules), `${path} (rules in its header)`);
    return (await withLogic(rules, path)).rules;
  }
  const named = typeof header.rules === 'string' ? header.rules : 'plain';
  try {
    return await loadRules(named, folder);
  } catch (error) {
    if (!(error instanceof FileFault) || named === 'plain') throw error;
    throw new TakeFileFault(
      `${path}: the rules "${named}" that the take was played by are not there; name others with --rules`,
    );
  }
}

/** The header of a take of one seat, complete enough to run it again anywhere. */
export function takeHeader(seat: string, plan: SeatPlan, rules: string): TakeHeader {
  const { instrument, pads, made = false } = plan;
  const inputs = pads.build?.wiring.length ?? pads.pads;
  return {
    take: TAKE_VERSION,
    inputs,
    full: pads.full,
    ...(pads.decided ? { decided: true } : {}),
    ...(made ? { made } : {}),
    seat,
    rules,
    instrument: instrumentAsWritten(instrument) as Record<string, unknown>,
    ...(pads.build ? { build: JSON.parse(formatBuild(pads.build)) as Build } : {}),
  };
}
