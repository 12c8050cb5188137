import { formatBuild } from '../../instrument/build.js';
import { instrumentAsWritten } from '../../instrument/instrument.js';
import type { Build } from '../../instrument/types.js';
import { wiringOf } from '../../pads/plan.js';
import type { SeatPlan } from '../../pipeline.js';
import { rulesAsWritten } from '../../takes/rules-written.js';
import { TAKE_VERSION, type TakeHeader } from '../../takes/take.js';
import { isPlainName, planTakeBy, TakePlanFault, type Instead } from '../../takes/take-plan.js';
import { loadBuild, loadInstrument, loadRules } from '../files/files.js';
import { logicsWith } from '../logic/pool.js';
import { TAKE_PATIENCE } from '../logic/thread.js';
import { TakeFileFault } from '../files/fault.js';
import { ASKS_NOBODY, type Trust } from './trust.js';

export type { Instead } from '../../takes/take-plan.js';

/**
 * How a take is to be played: what its header carries, unless something else is asked for.
 *
 * @param path of the take, for messages
 * @param trust whether a module that the take carries may run
 * @throws FileFault or TakeFileFault where something is missing, wrong, does not fit, or may not run
 */
export async function planTake(
  path: string,
  header: TakeHeader,
  folder: string,
  instead: Instead,
  trust: Trust = ASKS_NOBODY,
): Promise<SeatPlan> {
  const files = {
    instrument: (name: string) => loadInstrument(name, folder),
    build: (name: string) => loadBuild(name, folder),
    rules: (name: string) => loadRules(name, folder),
    carried: async (rules: SeatPlan['rules']) => {
      if (rules.logic) await trust.require({ own: rules.logic, take: path });
      return rules;
    },
    logic: logicsWith(TAKE_PATIENCE),
  };
  try {
    return await planTakeBy(path, header, files, instead);
  } catch (error) {
    if (!(error instanceof TakePlanFault)) throw error;
    throw new TakeFileFault(`${path}: ${error.what}; ${NEXT[error.instead]}`);
  }
}

const NEXT: Readonly<Record<keyof Instead, string>> = {
  instrument: 'name it with --instrument',
  build: 'name others with --build or --instrument',
  rules: 'name others with --rules',
};

/**
 * The header of a take of one seat, complete enough to run it again anywhere.
 *
 * @param rules their name, to be looked up then; null: the take carries them
 */
export function takeHeader(seat: string, plan: SeatPlan, rules: string | null): TakeHeader {
  const { instrument, pads, made = false } = plan;
  const inputs = wiringOf(pads).length;
  return {
    take: TAKE_VERSION,
    inputs,
    full: pads.full,
    ...(pads.decided ? { decided: true } : {}),
    ...(made ? { made } : {}),
    ...(pads.numbered ? { numbered: true } : {}),
    seat,
    // A take may name files by plain names only.
    rules: rules !== null && isPlainName(rules) ? rules : rulesAsWritten(plan.rules),
    instrument: instrumentAsWritten(instrument) as Record<string, unknown>,
    ...(!pads.build && pads.wiring ? { wiring: pads.wiring } : {}),
    ...(pads.build ? { build: JSON.parse(formatBuild(pads.build)) as Build } : {}),
  };
}
