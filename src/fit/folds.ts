import type { Rules } from '../instrument/types.js';
import type { Block } from './blocks.js';
import type { Judge } from './judge.js';
import { changedKeys, valueOf, withKeysOf, withValue, type FitKey } from './keys.js';
import { against, totalOf, type Mark } from './marks.js';

/** Rules that were found without looking at some block. */
export interface Fold {
  readonly block: Block;
  readonly rules: Rules;
}

/** A block with its marks by the start and by the rules found without it. */
export interface HeldOut {
  readonly block: Block;
  readonly start: Mark;
  readonly fitted: Mark;
}

/** What a changed key is worth on the blocks that its value was found without. */
export interface Worth {
  readonly key: FitKey;
  /** By block: errors that come when it is turned back, less those that go. */
  readonly nets: readonly number[];
  /** What is gained beside right notes, all blocks together: see `Against`. */
  readonly beside: number;
  /** F of all of them without it; null where no fold could turn it back by itself. */
  readonly without: number | null;
  /** In how many folds its value was changed as well. */
  readonly folds: number;
}

/** A fold's rules, with no other keys changed than these. */
export function only(changed: readonly FitKey[], fold: Rules, start: Rules): Rules {
  return withKeysOf(start, fold, changed);
}

export async function heldOutOf(
  judge: Judge,
  folds: readonly Fold[],
  start: Rules,
): Promise<HeldOut[]> {
  return Promise.all(
    folds.map(async ({ block, rules }) => {
      const [[ofStart], [fitted]] = (await judge.mark([start, rules], [block])) as [Mark[], Mark[]];
      return { block, start: ofStart!, fitted: fitted! };
    }),
  );
}

export async function worthOf(
  judge: Judge,
  key: FitKey,
  folds: readonly Fold[],
  start: Rules,
): Promise<Worth> {
  const pairs = await Promise.all(
    folds.map(async ({ block, rules }) => {
      const back = withValue(rules, key.key, valueOf(start, key.key));
      const marks = await judge.mark([rules, back ?? rules], [block]);
      return { with: marks[0]![0]!, without: marks[1]![0]!, tied: back === null };
    }),
  );
  const changedIn = folds.filter(({ rules }) => changedKeys(start, rules, [key]).length > 0);
  const whole = against(
    pairs.map((one) => one.with),
    pairs.map((one) => one.without),
  );
  return {
    key,
    nets: pairs.map((one) => {
      const { fixed, broken } = against([one.with], [one.without]);
      return fixed - broken;
    }),
    beside: whole.beside,
    without: pairs.every(({ tied }) => tied) ? null : totalOf(pairs.map((p) => p.without)).f,
    folds: changedIn.length,
  };
}

const sum = (values: readonly number[]): number => values.reduce((a, b) => a + b, 0);
const errors = ({ missed, added }: Mark): number => missed.length + added;

/** Whether the left-out blocks say that a key should stay as it was changed. */
function isConfirmed({ nets, beside, without, folds }: Worth): boolean {
  if (folds === 0) return false;
  const net = sum(nets);
  // What no fold can turn back by itself goes with the key that it hangs on.
  return without === null || net > 0 || (net === 0 && beside > 0);
}

/**
 * The changed keys to turn back next: the weakest that the left-out blocks do not confirm; or, where
 * they make some block worse than the start, the one that is worth least on that block, and all of
 * them where that has been tried with each. None: all is well.
 *
 * @param seen marks of the start and of the result on all blocks
 * @param tried keys that were turned back already, as far as the others let them
 */
export function toDrop(
  worths: readonly Worth[],
  heldOut: readonly HeldOut[],
  seen: { readonly start: readonly Mark[]; readonly fitted: readonly Mark[] },
  tried: readonly FitKey[],
): readonly FitKey[] {
  const open = worths.filter(({ key }) => !tried.includes(key));
  const weakest = (some: readonly Worth[], of: (worth: Worth) => number): readonly FitKey[] => {
    const order = [...some].sort((a, b) => of(a) - of(b) || a.beside - b.beside);
    return order.length > 0 ? [order[0]!.key] : worths.map(({ key }) => key);
  };
  const unsure = open.filter((worth) => !isConfirmed(worth));
  if (unsure.length > 0) return weakest(unsure, ({ nets }) => sum(nets));
  const worse = heldOut.findIndex(({ start, fitted }) => errors(fitted) > errors(start));
  if (worse >= 0) return weakest(open, ({ nets }) => nets[worse]!);
  const seenWorse = seen.fitted.some((mark, i) => errors(mark) > errors(seen.start[i]!));
  return seenWorse ? weakest(open, ({ nets }) => sum(nets)) : [];
}
