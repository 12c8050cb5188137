import { readTakeFile } from '../ports/take-file.js';
import { planTake } from '../ports/take-plan.js';
import type { SeatPlan } from '../pipeline.js';
import type { Take } from '../takes/read.js';
import { folderOf, textOf, UsageFault, type Call, type Options } from './cli.js';

/** What every command that runs a take again takes. */
export const TAKE_OPTIONS: Options = {
  instrument: { takes: 'NAME', about: 'the instrument [the one that the take names]' },
  build: {
    takes: 'NAME',
    about: "the unit's calibration and wiring [the take's own, else calibrated as it starts]",
  },
  rules: { takes: 'NAME', about: 'the rules [the ones that the take names, else plain]' },
};

/** Opens the take that is a command's first word, and plans it as the options ask. */
export async function openTakeOf(
  call: Call,
): Promise<{ path: string; take: Take; plan: SeatPlan }> {
  const [path] = call.words;
  if (path === undefined) throw new UsageFault('the take is missing');
  const take = readTakeFile(path);
  const plan = await planTake(path, take.header, folderOf(call), {
    instrument: textOf(call, 'instrument'),
    build: textOf(call, 'build'),
    rules: textOf(call, 'rules'),
  });
  return { path, take, plan };
}
