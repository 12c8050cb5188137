import type { Curve } from '../../../../compare/levels.js';
import { MILLISECOND, type Micros } from '../../../../time/micros.js';

/** As fine as a fast board's scans. */
const FINEST: Micros = 4 * MILLISECOND;
/** The finest layer has at most so many steps; what is closer is drawn from the curve itself. */
const MOST = 65_536;
const FACTOR = 4;
/** A layer is worth having down to so few steps. */
const LEAST = 64;

/** Levels are kept in a byte: 1 is −0.1, 254 is 1.1; 0: nothing was read. */
const LOW = -0.1;
const HIGH = 1.1;
const STEPS = 253;

export const levelOf = (byte: number): number => LOW + ((byte - 1) / STEPS) * (HIGH - LOW);

function byteOf(level: number): number {
  const share = (level - LOW) / (HIGH - LOW);
  return 1 + Math.round(STEPS * Math.max(0, Math.min(1, share)));
}

/** The least and the highest levels in steps of time. */
export interface Layer {
  /** How long a step is, in µs. */
  readonly step: Micros;
  readonly least: Uint8Array;
  readonly most: Uint8Array;
}

/** One pad's levels over time, ready to be drawn at any zoom. Plain data: it goes from thread to thread. */
export interface LevelPyramid {
  /** The curve: straight lines between these, NaN breaks them. */
  readonly times: Float64Array;
  readonly levels: Float32Array;
  /** From the finest on. */
  readonly layers: readonly Layer[];
}

/** @param length of the whole, in µs */
export function pyramidOf({ times, levels }: Curve, length: Micros): LevelPyramid {
  const step = Math.max(FINEST, Math.ceil((length + 1) / MOST));
  const layers = [finest(times, levels, step, Math.floor(length / step) + 1)];
  while (layers.at(-1)!.least.length > LEAST) layers.push(coarser(layers.at(-1)!));
  return { times: Float64Array.from(times), levels: Float32Array.from(levels), layers };
}

function finest(
  times: readonly number[],
  levels: readonly number[],
  step: Micros,
  count: number,
): Layer {
  const least = new Uint8Array(count);
  const most = new Uint8Array(count);
  const put = (at: number, level: number): void => {
    const byte = byteOf(level);
    if (least[at] === 0 || byte < least[at]!) least[at] = byte;
    if (byte > most[at]!) most[at] = byte;
  };
  const last = count - 1;
  for (let i = 0; i < times.length; i++) {
    const [t, level] = [times[i]!, levels[i]!];
    if (Number.isNaN(level)) continue;
    put(Math.min(last, Math.floor(t / step)), level);
    const [next, goal] = [times[i + 1], levels[i + 1]];
    if (next === undefined || goal === undefined || Number.isNaN(goal) || next === t) continue;
    const slope = (goal - level) / (next - t);
    const ends = Math.min(last, Math.floor(next / step));
    for (let at = Math.floor(t / step) + 1; at <= ends; at++) {
      // Where the line crosses from one step into the next it belongs to both.
      const crossing = level + slope * (at * step - t);
      put(at - 1, crossing);
      put(at, crossing);
    }
  }
  return { step, least, most };
}

function coarser(from: Layer): Layer {
  const count = Math.ceil(from.least.length / FACTOR);
  const least = new Uint8Array(count);
  const most = new Uint8Array(count);
  from.least.forEach((byte, i) => {
    const at = Math.floor(i / FACTOR);
    if (byte === 0) return;
    if (least[at] === 0 || byte < least[at]!) least[at] = byte;
    most[at] = Math.max(most[at]!, from.most[i]!);
  });
  return { step: from.step * FACTOR, least, most };
}

/** The coarsest layer whose steps are no longer than a pixel; null: the curve itself is to be drawn. */
export function layerFor({ layers }: LevelPyramid, perPixel: number): Layer | null {
  return layers.findLast(({ step }) => step <= perPixel) ?? null;
}

/** The index of the last point of the curve at or before a time; 0 where there is none. */
export function pointAt({ times }: LevelPyramid, t: Micros): number {
  let low = 0;
  let high = times.length;
  while (low < high) {
    const middle = (low + high) >> 1;
    if (times[middle]! <= t) low = middle + 1;
    else high = middle;
  }
  return Math.max(0, low - 1);
}

/** The level at a time; null where nothing was read. */
export function levelAt(pyramid: LevelPyramid, t: Micros): number | null {
  const { times, levels } = pyramid;
  const at = pointAt(pyramid, t);
  const [from, to] = [times[at], times[at + 1]];
  if (from === undefined || from > t || Number.isNaN(levels[at]!)) return null;
  if (t === from) return levels[at]!;
  if (to === undefined || Number.isNaN(levels[at + 1]!)) return null;
  return levels[at]! + ((levels[at + 1]! - levels[at]!) * (t - from)) / (to - from);
}
