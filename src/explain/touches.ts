import type { Strike } from '../pads/touch.js';
import type { Micros } from '../time/micros.js';
import type { PadSample, Seen, TouchOut } from './watch.js';

/** One touch of a pad, from its onset to its lift. */
export interface TouchStory {
  readonly pad: number;
  readonly onset: Micros;
  /** How hard it was, with the readings that say so; null where it was gone before that was known. */
  strike: Strike | null;
  rise: readonly number[];
  before: number;
  /** When it fell under the lower threshold and stayed there; null while it has not. */
  loose: Micros | null;
  lift: Micros | null;
  /** Times of falling under the threshold and coming back. */
  readonly bounces: { readonly from: Micros; readonly to: Micros }[];
  /** What ended it, where no lift did: a reset. */
  dropped: Micros | null;
}

/** All touches of a run, in the order of their onsets. */
export function touchStories({ touches }: Seen): TouchStory[] {
  const stories: TouchStory[] = [];
  const open = new Map<number, TouchStory>();
  for (const one of touches) follow(one, stories, open);
  return stories;
}

function follow(
  { event, rise, before }: TouchOut,
  stories: TouchStory[],
  open: Map<number, TouchStory>,
): void {
  const { t } = event;
  if (event.type === 'reset') {
    for (const story of open.values()) story.dropped = t;
    open.clear();
    return;
  }
  const { pad } = event;
  if (event.type === 'onset') {
    const story: TouchStory = {
      pad,
      onset: t,
      strike: null,
      rise: [],
      before: 0,
      loose: null,
      lift: null,
      bounces: [],
      dropped: null,
    };
    open.set(pad, story);
    stories.push(story);
    return;
  }
  const story = open.get(pad);
  // The lift of a touch that a reset has ended.
  if (!story) return;
  switch (event.type) {
    case 'strike':
      story.strike = event;
      story.rise = rise ?? [];
      story.before = before ?? 0;
      return;
    case 'loose':
      story.loose = t;
      return;
    case 'firm':
      story.bounces.push({ from: story.loose ?? t, to: t });
      story.loose = null;
      return;
    case 'lift':
      story.lift = t;
      if (!story.strike) story.rise = rise ?? [];
      open.delete(pad);
  }
}

/** When the touch was over, as far as is known. */
export const overAt = ({ lift, dropped }: TouchStory): Micros => lift ?? dropped ?? Infinity;

/** Whether the pad was touched at a time, be it only loosely. */
export const isDownAt = (story: TouchStory, t: Micros): boolean =>
  story.onset <= t && t < overAt(story);

/** Since when it was loose at a time; null where it was firm. */
export function looseAt({ loose, bounces }: TouchStory, t: Micros): Micros | null {
  const bounce = bounces.find(({ from, to }) => from <= t && t < to);
  if (bounce) return bounce.from;
  return loose !== null && loose <= t ? loose : null;
}

/** A level that rose and began no touch. */
export interface NearTouch {
  readonly pad: number;
  /** At its highest. */
  readonly sample: PadSample;
  readonly why: 'under-on' | 'learning' | 'blocked' | 'ended';
}

/** A finger that is this far on its way to the threshold shows. */
const SHOWS = 0.5;
/** Readings of a pad that is only watched differ by so much of full scale where somebody touches it. */
const MOVED = 0.01;
/** What rises from under this share of the threshold is another try. */
const GONE = 0.3;

/** The highest readings of the tries to touch a pad that began no touch. */
export function nearTouches(samples: readonly PadSample[], full: number): NearTouch[] {
  const near: NearTouch[] = [];
  for (const own of byPad(samples).values()) {
    let best: PadSample | null = null;
    // What leaves a pad falls through the same levels: it must have been low before.
    let armed = true;
    const done = (): void => {
      if (best && best.state !== 'learning') near.push({ ...whyOf(best), sample: best });
      best = null;
    };
    for (const sample of own) {
      const { state, level, on } = sample;
      const idle = state === 'rest' || state === 'blocked' || state === 'ended';
      const low = level < GONE * on;
      // A try that the threshold was met by is a touch.
      if (!idle) best = null;
      if (low || (best && best.state !== state)) done();
      armed = idle && (armed || low || state !== 'rest');
      if (armed && level >= SHOWS * on && level > (best?.level ?? 0)) best = sample;
    }
    done();
    const watched = own.filter(({ state }) => state === 'learning');
    const lowest = Math.min(...watched.map(({ raw }) => raw));
    const highest = watched.reduce((a, b) => (b.raw > a.raw ? b : a), watched[0] ?? own[0]!);
    if (watched.length > 0 && highest.raw - lowest > MOVED * full) {
      near.push({ pad: highest.pad, sample: highest, why: 'learning' });
    }
  }
  return near.sort((a, b) => a.sample.t - b.sample.t);
}

function whyOf({ pad, state }: PadSample): Omit<NearTouch, 'sample'> {
  return { pad, why: state === 'blocked' || state === 'ended' ? state : 'under-on' };
}

/** A held level that fell and rose again without having been let go. */
export interface Dip {
  readonly pad: number;
  /** At its lowest. */
  readonly sample: PadSample;
}

/** A held level that rises by so much from where it fell to may be meant for another touch. */
const DIP = 0.15;

/** Where fingers were nearly off their pads, and came back, while they counted as touching them. */
export function dips(samples: readonly PadSample[]): Dip[] {
  const found: Dip[] = [];
  for (const own of byPad(samples).values()) {
    let low: PadSample | null = null;
    let high = 0;
    for (const sample of own) {
      if (sample.state !== 'held') {
        low = null;
        high = 0;
        continue;
      }
      const { level } = sample;
      if (low && level - low.level >= DIP && high - low.level >= DIP) {
        found.push({ pad: low.pad, sample: low });
        low = null;
        high = level;
      }
      if (level >= high) {
        high = level;
        low = null;
      } else if (!low || level < low.level) low = sample;
    }
  }
  return found.sort((a, b) => a.sample.t - b.sample.t);
}

export function byPad(samples: readonly PadSample[]): Map<number, PadSample[]> {
  const pads = new Map<number, PadSample[]>();
  for (const sample of samples) {
    const own = pads.get(sample.pad);
    if (own) own.push(sample);
    else pads.set(sample.pad, [sample]);
  }
  return pads;
}
