import { readTakeFile } from '../ports/takes/read.js';
import { planTake } from '../ports/takes/plan.js';
import { seatOfTake } from '../ports/takes/room-plan.js';
import type { SeatPlan } from '../pipeline.js';
import { trusting } from '../ports/takes/trust.js';
import type { OpenTake, Report, Take } from '../takes/read.js';
import { TRUST, trustOf } from './trust.js';
import { folderOf, textOf, UsageFault, type Call, type Options } from './cli.js';

/** What every command that runs a take again takes. */
export const TAKE_OPTIONS: Options = {
  seat: { takes: 'NAME', about: 'which seat, where the take is of a whole room [the only one]' },
  instrument: { takes: 'NAME', about: 'the instrument [the one that the take names]' },
  build: {
    takes: 'NAME',
    about: "the unit's calibration and wiring [the take's own, else calibrated as it starts]",
  },
  rules: { takes: 'NAME', about: 'the rules [the ones that the take names, else plain]' },
  ...TRUST,
};

/** A take whose header was read. */
export interface OpenedTake {
  readonly path: string;
  readonly opened: OpenTake;
}

/** The take that is a command's first word. */
export async function readTakeOf(call: Call): Promise<OpenedTake> {
  const [path] = call.words;
  if (path === undefined) throw new UsageFault('the take is missing');
  return { path, opened: await readTakeFile(path) };
}

/** Opens the take that is a command's first word, and plans it as the options ask. */
export async function openTakeOf(
  call: Call,
  read?: OpenedTake,
): Promise<{ path: string; take: Take; plan: SeatPlan }> {
  const { path, opened } = read ?? (await readTakeOf(call));
  const own = seatTake(path, call, opened);
  const trust = trustOf(call);
  const instead = {
    instrument: textOf(call, 'instrument'),
    build: textOf(call, 'build'),
    rules: textOf(call, 'rules'),
  };
  const plan = await planTake(path, own.header, folderOf(call), instead, trust);
  const take = { ...own, events: (report: Report) => trusting(own.events(report), trust, path) };
  if (textOf(call, 'instrument') !== undefined) tellOfPads(path, take.header.inputs, plan, call);
  return { path, take, plan };
}

/** Another instrument than the one that was played may have pads that no input reaches, and sounds nothing then. */
function tellOfPads(
  path: string,
  inputs: number,
  { instrument, pads }: SeatPlan,
  call: Call,
): void {
  const most = pads.pads;
  if (pads.build !== null || inputs === most) return;
  const [from, to] = [Math.min(inputs, most), Math.max(inputs, most) - 1];
  const which = (noun: string, verb: string): string =>
    from === to
      ? `${noun} ${String(from)}, counted from 0, ${verb}s`
      : `${noun}s ${String(from)} to ${String(to)}, counted from 0, ${verb}`;
  call.tell({
    level: 'warn',
    what: `The take has ${String(inputs)} inputs, and "${instrument.name}" has ${String(most)} pads`,
    where: path,
    next: inputs < most ? `${which('Pad', 'stay')} silent` : `${which('Input', 'play')} nothing`,
  });
}

/**
 * Opens a take of one seat: of a room's, the seat that --seat names.
 *
 * @throws FileFault or TakeFileFault
 */
export async function takeOf(path: string, call: Call): Promise<Take> {
  return seatTake(path, call, await readTakeFile(path));
}

/** The same of a take that is open already. */
export function seatTake(path: string, call: Call, opened: OpenTake): Take {
  return seatOfTake(path, opened, textOf(call, 'seat'), { by: '--seat' });
}
