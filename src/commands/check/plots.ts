import type { Checked } from '../../check/check.js';
import type { PadCheck } from '../../check/types.js';
import { counts, judgement, ratioWords } from '../../check/words.js';
import { at, box, drawing, element, label, line } from './svg.js';

const WIDTH = 460;
const HEIGHT = 140;
/** The part that readings are drawn in. */
const LEFT = 46;
const RIGHT = WIDTH - 8;
const TOP = 10;
const BOTTOM = HEIGHT - 24;

/** The lowest and highest reading of each column of a plot; NaN where there was none. */
interface Column {
  readonly min: number;
  readonly max: number;
}

/** All readings in as many columns as can be told apart, so that a long take makes no large page. */
function columnsOf(times: readonly number[], raws: Float64Array, count: number): Column[] {
  const first = times[0] ?? 0;
  const length = Math.max(1, (times.at(-1) ?? 0) - first);
  const min = new Float64Array(count).fill(NaN);
  const max = new Float64Array(count).fill(NaN);
  raws.forEach((raw, k) => {
    if (Number.isNaN(raw)) return;
    const column = Math.min(count - 1, Math.floor(((times[k]! - first) / length) * count));
    if (!(min[column]! <= raw)) min[column] = raw;
    if (!(max[column]! >= raw)) max[column] = raw;
  });
  return Array.from({ length: count }, (_, i) => ({ min: min[i]!, max: max[i]! }));
}

/** One filled outline through all columns: along their tops and back along their bottoms. */
function outline(columns: readonly Column[], y: (raw: number) => number): string {
  const step = (RIGHT - LEFT) / columns.length;
  const known = columns
    .map((column, i) => ({ ...column, x: LEFT + (i + 0.5) * step }))
    .filter(({ min }) => !Number.isNaN(min));
  const top = known.map(({ x, max }) => `${at(x)},${at(y(max) - 0.5)}`);
  const bottom = known.reverse().map(({ x, min }) => `${at(x)},${at(y(min) + 0.5)}`);
  return [...top, ...bottom].join(' ');
}

/** Readings of one pad over time, its rest and its touches marked. */
export function padPlot(pad: PadCheck, name: string, { series, touches }: Checked): string {
  const { times } = series;
  const raws = series.raws[pad.pad]!;
  const columns = columnsOf(times, raws, RIGHT - LEFT);
  const known = columns.filter(({ min }) => !Number.isNaN(min));
  const title = `${name}, pad ${String(pad.pad)}: ${judgement(pad)}`;
  const id = `pad-plot-${String(pad.pad)}`;
  const size = [WIDTH, HEIGHT] as const;
  if (known.length === 0) {
    const middle = { 'text-anchor': 'middle', class: 'none' };
    const words = 'no readings';
    return drawing(id, size, title, words, label(WIDTH / 2, HEIGHT / 2, words, middle));
  }
  const low = known.reduce((a, { min }) => Math.min(a, min), Infinity);
  const high = known.reduce((a, { max }) => Math.max(a, max), -Infinity);
  const room = Math.max(4, 0.08 * (high - low));
  const y = (raw: number): number =>
    BOTTOM - ((raw - low + room) / (high - low + 2 * room)) * (BOTTOM - TOP);
  const first = times[0]!;
  const length = Math.max(1, times.at(-1)! - first);
  const x = (t: number): number => LEFT + ((t - first) / length) * (RIGHT - LEFT);

  const own = touches.filter((touch) => touch.pad === pad.pad);
  const bands = own.flatMap(({ from, to }) => {
    const [left, right] = [x(times[from]!), x(times[to - 1]!)];
    const width = Math.max(2, right - left);
    const middle = left + width / 2;
    const mark = [
      [middle - 4, TOP - 8],
      [middle + 4, TOP - 8],
      [middle, TOP - 2],
    ];
    const points = mark.map(([px, py]) => `${at(px!)},${at(py!)}`).join(' ');
    return [
      box(left, TOP, width, BOTTOM - TOP, 'touch'),
      element('polygon', { points, class: 'touch-mark' }),
    ];
  });
  return drawing(
    id,
    size,
    title,
    describe(pad, length),
    ...bands,
    line(LEFT, BOTTOM, RIGHT, BOTTOM, 'axis'),
    ...ticks(length / 1e6).map((second) => tick(x(first + second * 1e6), second)),
    element('polygon', { points: outline(columns, y), class: 'readings' }),
    ...levelLines(pad, y),
  );
}

function describe({ rest, touched, noise, ratio, touches }: PadCheck, length: number): string {
  const seconds = `Readings over ${(length / 1e6).toFixed(1)} seconds`;
  if (rest === null) return `${seconds}.`;
  const still = `rest ${counts(rest)}, noise ${counts(noise ?? 0)} counts peak to peak`;
  if (touched === null) return `${seconds}: ${still}; no touch was seen.`;
  const times = touches === 1 ? 'touched once' : `touched ${String(touches)} times`;
  return `${seconds}: ${still}; ${times}, up to ${counts(touched)}, signal to noise ${ratioWords(ratio)}.`;
}

/** Rest and touch as lines with their values; the touch's is left out where both would overlap. */
function levelLines({ rest, touched }: PadCheck, y: (raw: number) => number): string[] {
  const side = { 'text-anchor': 'end' };
  const one = (raw: number, kind: string): string[] => [
    line(LEFT, y(raw), RIGHT, y(raw), kind),
    label(LEFT - 5, y(raw) + 3.5, counts(raw), { ...side, class: `${kind}-value` }),
  ];
  if (rest === null) return [];
  const apart = touched !== null && Math.abs(y(touched) - y(rest)) > 12;
  return [...one(rest, 'rest'), ...(apart ? one(touched, 'touched') : [])];
}

/** Round seconds, about five of them. */
function ticks(seconds: number): number[] {
  const step = [1, 2, 5, 10, 20, 30, 60].find((one) => seconds / one <= 6) ?? 120;
  return Array.from({ length: Math.floor(seconds / step) + 1 }, (_, i) => i * step);
}

function tick(x: number, second: number): string {
  const last = x > RIGHT - 16;
  const text = label(x, BOTTOM + 15, `${String(second)} s`, {
    'text-anchor': last ? 'end' : second === 0 ? 'start' : 'middle',
    class: 'tick',
  });
  return line(x, BOTTOM, x, BOTTOM + 4, 'axis') + text;
}
