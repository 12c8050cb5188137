import { MILLISECOND, type Micros } from '../time/micros.js';
import { median } from '../pads/series.js';

/** Blocks of this length are judged by their middle reading. */
const BLOCK: Micros = 100 * MILLISECOND;
/** From this level on a pad counts as touched, and under this one as let go. */
const ON = 0.5;
const OFF = 0.25;
/** A finger is gone within so many blocks; a drifting rest takes longer. */
const GONE_WITHIN = 3;

/**
 * Until which sample something lay on a pad while the unit should have been let go: the rest then
 * comes in one step, by more than half of a touch. 0 where nothing did.
 *
 * @param quiet stretches of samples in which nobody touched
 * @param span the change of a touch of this pad, in raw counts, with its sign
 */
export function heldUntil(
  times: readonly Micros[],
  raws: Float64Array,
  quiet: readonly (readonly [number, number])[],
  span: number,
): number {
  const samples = quiet.flatMap(([from, to]) =>
    Array.from({ length: to - from }, (_, i) => from + i).filter((k) => !Number.isNaN(raws[k]!)),
  );
  const later = samples.slice(samples.length >> 1).map((k) => raws[k]!);
  const rest = median(later);
  const blocks = new Map<number, number[]>();
  for (const k of samples) {
    const block = Math.floor(times[k]! / BLOCK);
    const members = blocks.get(block) ?? [];
    if (members.length === 0) blocks.set(block, members);
    members.push(k);
  }
  const levels = [...blocks.values()].map((members) => ({
    level: (median(members.map((k) => raws[k]!)) - rest) / span,
    end: members.at(-1)! + 1,
  }));
  const free = levels.findIndex(({ level }) => level < ON);
  if (free <= 0) return 0;
  const stepped = levels.slice(free, free + GONE_WITHIN).some(({ level }) => level <= OFF);
  // The block in which it went still has some of both.
  return stepped ? levels[free]!.end : 0;
}
