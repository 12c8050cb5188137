import { PLAIN } from '../instrument/rules.js';
import type { Rules } from '../instrument/types.js';
import { beats, isBetter, isKnown, isSooner } from './better.js';
import type { Block } from './blocks.js';
import type { Judge } from './judge.js';
import { changedKeys, same, valueOf, withKeysOf, withValue } from './keys.js';
import type { FitKey, Value } from './keys.js';
import { against, meritOf, totalOf, type Mark } from './marks.js';

/** What is searched, and on what. */
export interface Task {
  readonly start: Rules;
  readonly keys: readonly FitKey[];
  readonly blocks: readonly Block[];
  /** Whether there are beginnings of takes to look at first. */
  readonly brief: boolean;
  /** Whether there is time for another step. */
  readonly timeLeft: () => boolean;
}

/** A value of one key with the rules that have it. */
interface Candidate {
  readonly value: Value;
  readonly rules: Rules;
}

interface Marked extends Candidate {
  readonly marks: readonly Mark[];
}

/** Times round all keys: a bad start may need one key fixed before another shows. */
const ROUNDS = 4;
/** So many of a slow key's values are looked at in full, besides those that are known. */
const SHORTLIST = 3;
/** A second start this much behind the first, in F, does not catch up. */
const HOPELESS = 0.1;

/** The best rules that a search from the start, and one from plain, find on the task's blocks. */
export async function search(judge: Judge, task: Task): Promise<Rules> {
  const { start, keys, blocks } = task;
  const starts = [start, withKeysOf(start, PLAIN, keys)];
  const marks = await judge.mark(starts, blocks);
  const [own, plain] = marks.map(totalOf);
  const order = own!.f >= plain!.f ? [0, 1] : [1, 0];
  let found: Rules | null = null;
  for (const [i, which] of order.entries()) {
    if (i === 1 && changedKeys(starts[0]!, starts[1]!, keys).length === 0) break;
    if (i === 1 && Math.abs(own!.f - plain!.f) > HOPELESS) break;
    const next = await simplified(judge, await climb(judge, starts[which]!, task), task);
    found = found === null ? next : await betterOf(judge, found, next, task);
  }
  return found ?? start;
}

async function betterOf(judge: Judge, a: Rules, b: Rules, { start, keys, blocks }: Task) {
  const [ofA, ofB] = await judge.mark([a, b], blocks);
  const changes = (rules: Rules): number => changedKeys(start, rules, keys).length;
  const [less, more] = changes(a) <= changes(b) ? [a, b] : [b, a];
  const [ofLess, ofMore] = less === a ? [ofA!, ofB!] : [ofB!, ofA!];
  return closeTo(ofMore, ofLess) && !isSooner(ofMore, ofLess) ? less : more;
}

/** Goes round the keys, one at a time, until none of them has a better value. */
async function climb(judge: Judge, from: Rules, task: Task): Promise<Rules> {
  let current = from;
  let unchanged = 0;
  for (let i = 0; i < ROUNDS * task.keys.length; i++) {
    if (unchanged === task.keys.length || !task.timeLeft()) break;
    const key = task.keys[i % task.keys.length]!;
    const next = await improved(judge, current, key, task);
    unchanged = next === current ? unchanged + 1 : 0;
    current = next;
  }
  return current;
}

async function improved(judge: Judge, current: Rules, key: FitKey, task: Task): Promise<Rules> {
  if (key.counts?.(current) === false) return current;
  const all = candidates(current, key, task.start);
  const worth = await shortlist(judge, all, key, task);
  const marks = await judge.mark(
    worth.map(({ rules }) => rules),
    task.blocks,
  );
  const marked = worth.map((one, i): Marked => ({ ...one, marks: marks[i]! }));
  return pick(marked, key, task.start).rules;
}

/** What the key may become, the present value first. */
function candidates(current: Rules, { key, values }: FitKey, start: Rules): Candidate[] {
  const grid = typeof values === 'function' ? values(current) : values;
  const all: Candidate[] = [{ value: valueOf(current, key), rules: current }];
  for (const value of [valueOf(start, key), valueOf(PLAIN, key), ...grid]) {
    if (all.some((one) => same(one.value, value))) continue;
    const rules = withValue(current, key, value);
    if (rules) all.push({ value, rules });
  }
  return all;
}

/** Of a key that changes touches, for which a whole take is slow: what does well on the beginnings. */
async function shortlist(
  judge: Judge,
  all: readonly Candidate[],
  { key }: FitKey,
  { start, blocks, brief }: Task,
): Promise<readonly Candidate[]> {
  const slow = key.startsWith('touch.') || key.startsWith('strength.');
  if (!brief || !slow || all.length <= SHORTLIST + 1) return all;
  const marks = await judge.mark(
    all.map(({ rules }) => rules),
    blocks,
    true,
  );
  const merits = marks.map(meritOf);
  const best = merits.map((_, i) => i).sort((a, b) => merits[b]! - merits[a]!);
  const stays = new Set(best.slice(0, SHORTLIST));
  return all.filter(
    ({ value }, i) =>
      i === 0 ||
      stays.has(i) ||
      (isKnown(key, value, start) && closeTo(marks[best[0]!]!, marks[i]!)),
  );
}

/** Not so far behind that chance cannot be the reason. */
function closeTo(best: readonly Mark[], other: readonly Mark[]): boolean {
  const { fixed, broken } = against(best, other);
  return fixed - broken < 2 || fixed - broken < Math.SQRT2 * Math.sqrt(fixed + broken);
}

/**
 * The present value, unless others are clearly better. Of those, and of what is about as good, the
 * start's own, else plain's, else the middle one: far from where things get worse.
 */
function pick(marked: readonly Marked[], key: FitKey, start: Rules): Candidate {
  const [present] = marked;
  const better = marked.filter(({ value, marks }) =>
    beats(marks, present!.marks, { key, value, known: isKnown(key.key, value, start) }),
  );
  if (better.length === 0) return present!;
  const best = better.reduce((a, b) => (meritOf(b.marks) > meritOf(a.marks) ? b : a));
  const good = better.filter(({ marks }) => closeTo(best.marks, marks));
  const at = (rules: Rules) => good.find(({ value }) => same(value, valueOf(rules, key.key)));
  const known = at(start) ?? at(PLAIN);
  if (known) return known;
  if (!good.every(({ value }) => typeof value === 'number')) return best;
  good.sort((a, b) => Number(a.value) - Number(b.value));
  return good[Math.floor(good.length / 2)]!;
}

/**
 * Turns back to the start, one by one, what does not make it better; nor may all of it together. Where
 * plain's value is a single note better than the start's, it stays: it has been good elsewhere.
 */
async function simplified(judge: Judge, rules: Rules, task: Task): Promise<Rules> {
  const { start, keys, blocks } = task;
  const [found] = await judge.mark([rules], blocks);
  let current = rules;
  while (task.timeLeft()) {
    const turned = changedKeys(start, current, keys).flatMap((key) => {
      const back = withValue(current, key.key, valueOf(start, key.key));
      return back ? [{ key, back }] : [];
    });
    const [own, ...others] = await judge.mark([current, ...turned.map(({ back }) => back)], blocks);
    const idle = turned.flatMap(({ key, back }, i) => {
      const value = valueOf(current, key.key);
      const known = isKnown(key.key, value, start);
      const marks = others[i]!;
      const helps = known ? isBetter(own!, marks) : beats(own!, marks, { key, value, known });
      const counts = helps || !closeTo(found!, marks);
      return counts ? [] : [{ back, merit: meritOf(marks) }];
    });
    if (idle.length === 0) return current;
    current = idle.reduce((a, b) => (b.merit > a.merit ? b : a)).back;
  }
  return current;
}
