import type { Build, PadBuild } from '../instrument/types.js';
import { MILLISECOND, SECOND } from '../time/micros.js';
import type { Scan } from '../wire/scan.js';
import { calibratePads, type Calibration, type Unfit } from '../calibration/calibrate.js';
import type { WireKind } from './kind.js';
import type { Answer, Stretch, WireEnd } from './notice.js';

/** A build that was made by learning a wiring, and where its calibration comes from. */
export interface WiredBuild {
  readonly build: Build;
  /**
   * kept: the old one's; completed: the old one's, and of these touches for pads that it lacked; made: of
   * these touches; unneeded: the board decides touches itself.
   */
  readonly calibration: 'kept' | 'completed' | 'made' | 'unneeded';
  /** What the touches taught; null where they were not asked. */
  readonly learned: Calibration | null;
}

/** Which pad each input is, as long as the highest input that was heard; null where none is. */
export function wiringFrom(answers: readonly Answer[], highest: number): (number | null)[] {
  const wiring = new Array<number | null>(highest + 1).fill(null);
  for (const { pad, input } of answers) if (input !== null) wiring[input] = pad;
  return wiring;
}

/** Whether two wirings say the same; inputs without a pad at the end do not matter. */
export function sameWiring(a: Build['wiring'], b: Build['wiring']): boolean {
  const longer = Math.max(a.length, b.length);
  for (let i = 0; i < longer; i++) if ((a[i] ?? null) !== (b[i] ?? null)) return false;
  return true;
}

/**
 * The build of a learned wiring. A calibration is kept by pad and was read through its wiring, so an
 * old one stays only where the wiring is the same; else the touches make a new one, since every pad
 * was touched once, one at a time.
 */
export function wiredBuild(
  end: WireEnd,
  scans: readonly Scan[],
  kind: WireKind,
  old: Build | null,
): WiredBuild {
  const wiring = wiringFrom(end.answers, highestInput(scans));
  const same = old !== null && old.pads.length === kind.pads && sameWiring(old.wiring, wiring);
  const before: readonly (PadBuild | null)[] = same
    ? old.pads
    : new Array<null>(kind.pads).fill(null);
  if (kind.decided) {
    return { build: { wiring, pads: before }, calibration: 'unneeded', learned: null };
  }
  const complete = end.answers.every(({ pad, input }) => input === null || before[pad]);
  if (complete) return { build: { wiring, pads: before }, calibration: 'kept', learned: null };
  const clear = withoutStretches(scans, end.unclear);
  const readings = end.onlyChanges ? filledIn(clear) : clear;
  const learned = calibratePads(readings, wiring, kind.pads, kind.full);
  const pads = before.map((one, pad) => one ?? learned.pads[pad] ?? null);
  return { build: { wiring, pads }, calibration: same ? 'completed' : 'made', learned };
}

/** The pads that are not fit by the touches that taught the wiring. */
export function unfitOf({ build, learned }: WiredBuild): Unfit[] {
  return (learned?.unfit ?? []).filter(
    // One without an input is no pad of this unit, and one whose old calibration was kept plays by that.
    ({ pad, reason }) => build.wiring.includes(pad) && (reason === 'weak' || !build.pads[pad]),
  );
}

/** The highest input that was heard; -1 where none was. */
function highestInput(scans: readonly Scan[]): number {
  let highest = -1;
  for (const { inputs } of scans) for (const input of inputs) highest = Math.max(highest, input);
  return highest;
}

/** Two fingers at once would be learned as a coupling. */
const ABOUT = 50 * MILLISECOND;

/** Leaves out what came in some stretches of time. */
function withoutStretches(scans: readonly Scan[], stretches: readonly Stretch[]): readonly Scan[] {
  if (stretches.length === 0) return scans;
  return scans.filter(
    ({ t }) => !stretches.some(({ from, to }) => t >= from - ABOUT && t <= to + ABOUT),
  );
}

const EVERY = 4 * MILLISECOND;
const LONGEST_GAP = 5 * SECOND;

/**
 * Makes of a wire that tells only changes one that tells all at an even pace: first every input at
 * rest for a second, then scans between the messages, in which nothing changes.
 */
export function filledIn(scans: readonly Scan[]): Scan[] {
  const first = scans[0];
  if (!first) return [];
  const inputs = Array.from({ length: highestInput(scans) + 1 }, (_, input) => input);
  const filled: Scan[] = [{ type: 'scan', t: 0, inputs, raws: inputs.map(() => 0) }];
  for (const scan of scans) {
    const t = scan.t - first.t + SECOND;
    const from = Math.max(filled.at(-1)!.t, t - LONGEST_GAP);
    for (let at = from + EVERY; at < t; at += EVERY) {
      filled.push({ type: 'scan', t: at, inputs: [], raws: [] });
    }
    filled.push({ ...scan, t });
  }
  const last = filled.at(-1)!.t;
  for (let at = last + EVERY; at <= last + SECOND; at += EVERY) {
    filled.push({ type: 'scan', t: at, inputs: [], raws: [] });
  }
  return filled;
}
