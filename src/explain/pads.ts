import { padNames } from '../instrument/pad-names.js';
import type { Happening } from './happenings.js';
import type { Scene } from './reason.js';
import { byPad, isDownAt, overAt, type NearTouch, type TouchStory } from './touches.js';
import type { PadSample } from './watch.js';

/** One pad that moved around the time. */
export interface PadStory {
  readonly pad: number;
  readonly name: string;
  /** Its readings at the begin of what is looked at, and where it was highest there; null: none came. */
  readonly first: PadSample | null;
  readonly peak: PadSample | null;
  readonly touches: readonly TouchStory[];
  readonly near: readonly NearTouch[];
}

/** The pads that moved in the window, and those that lay on a fret of a note, in the order of time. */
export function padStories(
  { run, instrument, touches, near }: Scene,
  happenings: readonly Happening[],
  only: number | null,
): PadStory[] {
  const { from, to } = run.asked;
  const names = padNames(instrument);
  const samples = byPad(run.seen.samples);
  const began = happenings.flatMap(({ note }) => (note && note.on.t >= from ? [note.on.t] : []));
  const within = (t: number | null): boolean => t !== null && t >= from && t <= to;
  const moved = (touch: TouchStory): boolean =>
    [touch.onset, touch.loose, touch.lift].some(within) ||
    touch.bounces.some((one) => within(one.from)) ||
    began.some((t) => isDownAt(touch, t));
  const pads = new Set([
    ...touches.filter(moved).map(({ pad }) => pad),
    ...near.map(({ pad }) => pad),
  ]);
  const stories = [...pads].map((pad): PadStory => {
    const own = samples.get(pad) ?? [];
    return {
      pad,
      name: names[pad] ?? `pad ${String(pad)}`,
      first: own[0] ?? null,
      peak: own.reduce<PadSample | null>((a, b) => (a && a.level >= b.level ? a : b), null),
      touches: touches.filter((one) => one.pad === pad && one.onset <= to && overAt(one) >= from),
      near: near.filter((one) => one.pad === pad),
    };
  });
  const beginOf = ({ touches: [touch], near: [one] }: PadStory): number =>
    touch?.onset ?? one?.sample.t ?? 0;
  return stories
    .filter(({ pad }) => only === null || pad === only || isOf(happenings, pad))
    .sort((a, b) => beginOf(a) - beginOf(b));
}

/** Whether a pad is named in what is told. */
function isOf(happenings: readonly Happening[], pad: number): boolean {
  return happenings.some(
    ({ pad: own, reasons }) =>
      own === pad || reasons.some(({ facts }) => facts.beside === pad || facts.pad === pad),
  );
}
