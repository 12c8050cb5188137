import { printedOrder } from '../../../instrument/instrument-pads.js';
import { padNames } from '../../../instrument/pad-names.js';
import type { Instrument } from '../../../instrument/types.js';
import type { Check, PadCheck, Verdict } from '../../../check/types.js';
import { tellFinding } from '../../../check/words.js';
import type { PadVerdict } from '../../link/state.js';

/** Where no more pads than this share of all have not been touched, those may well be dead. */
const FEW_LEFT = 0.1;

/**
 * What a check says of each pad, one by one.
 *
 * @param paused whether nothing has been touched for a moment
 * @param early whether the unit has been watched for so short a time that a pad played just now would
 *   seem to be held all the time
 */
export function padVerdicts(
  check: Check,
  instrument: Instrument,
  paused: boolean,
  early = false,
): PadVerdict[] {
  const names = padNames(instrument);
  const order = printedOrder(instrument);
  const silent = check.pads.filter(isSilent).length;
  const nearlyAll = silent <= Math.max(1, FEW_LEFT * check.pads.length);
  // Where pads are touched as they are printed, those at the end may have their turn yet.
  const furthest = order.findLastIndex((pad) => wasTouched(check.pads[pad]!));
  const passed = (pad: number): boolean => nearlyAll && (paused || order.indexOf(pad) < furthest);
  const untold = (pad: PadCheck): boolean =>
    (isSilent(pad) && !passed(pad.pad)) || (early && pad.verdicts.some(isHeld));
  return check.pads.map((pad) => ({
    pad: pad.pad,
    name: names[pad.pad] ?? `pad ${String(pad.pad)}`,
    grade: untold(pad) ? 'unheard' : gradeOf(pad),
    ratio: pad.ratio,
    findings: pad.verdicts
      .filter((verdict) => !early || !isHeld(verdict))
      .map((verdict) => findingOf(verdict, pad.pad, check, names)),
  }));
}

const isHeld = ({ kind }: Verdict): boolean => kind === 'held';

const isSilent = ({ verdicts }: PadCheck): boolean =>
  verdicts.some(({ kind, why }) => kind === 'dead' && why === 'untouched');

const isUnjudged = ({ kind }: Verdict): boolean => kind === 'unjudged';

const wasTouched = ({ touches, verdicts }: PadCheck): boolean =>
  touches > 0 || verdicts.some(isUnjudged);

function gradeOf({ verdicts }: PadCheck): PadVerdict['grade'] {
  if (verdicts.length === 0) return 'good';
  if (verdicts.some(isUnjudged)) return 'heard';
  const bad = verdicts.some(({ kind, grade }) => grade === 'mend' && kind !== 'weak');
  return bad ? 'bad' : 'weak';
}

function findingOf(
  { kind, why, grade }: Verdict,
  pad: number,
  check: Check,
  names: readonly string[],
): PadVerdict['findings'][number] {
  const exchanges = check.exchanges.filter(({ touched }) => touched.includes(pad));
  // Which pad it is joined with matters; of all other faults each pad has its own.
  const joined = check.pads.filter(({ verdicts }) => verdicts.some((one) => one.kind === kind));
  const pads = kind === 'joined' ? joined.map((one) => one.pad) : [pad];
  const told = tellFinding({ kind, why, grade, pads, harm: 0 }, { ...check, exchanges }, names);
  return { what: `${told.title}. ${told.seen}`, cause: told.cause, next: told.next };
}
