import { MILLISECOND, SECOND, type Micros } from '../time/micros.js';
import { limitOf, restAnew, type UnknownUnit, type WireInput } from './input.js';
import { secondTouched, touchedBeside, type Moved, type Reach } from './shape.js';

/** A touch counts when one input was the furthest for this long. Memory, as the times below. */
const HOLD: Micros = 60 * MILLISECOND;
/** Another input may be ahead for less than this at the very start. */
const SLIP: Micros = 30 * MILLISECOND;
/** A touch is over when nothing has been out for this long; contact that bounces is found sooner. */
const RELEASE: Micros = 40 * MILLISECOND;
/** A touch that lasts this long is meant to take back. */
export const LONG: Micros = 2 * SECOND;
/** What lasts longer than this is no touch but a rest that was learned wrong, or a short circuit. */
export const STUCK: Micros = 5 * SECOND;

/** Under this share of its furthest change an input was let go; what then stays is its new rest. */
const LET_GO = 0.35;
const RESIDUE: Micros = 400 * MILLISECOND;
/** An input that stays this long at the rest it had before the new one was learned gets the old rest back. */
const HEALED: Micros = 50 * MILLISECOND;
/** Readings closer than this tell nothing more of a touch's shape. */
const MOVED_EVERY: Micros = 3 * MILLISECOND;

/**
 * rested: touches count from here on; pressed: one input is surely touched; held: for LONG now;
 * touched: and was let go; unclear: a touch is over in which a second input took part; stuck: one
 * input stayed out for so long that where it is was taken for its rest; freed: what was pressed was
 * such an input on its way back.
 */
export type TouchedInput =
  | { readonly type: 'rested'; readonly t: Micros; readonly onlyChanges: boolean }
  | { readonly type: 'freed'; readonly t: Micros }
  | { readonly type: 'pressed' | 'held'; readonly t: Micros; readonly input: number }
  | {
      readonly type: 'touched' | 'stuck';
      readonly t: Micros;
      readonly from: Micros;
      readonly input: number;
    }
  | {
      readonly type: 'unclear';
      readonly t: Micros;
      readonly from: Micros;
      readonly inputs: readonly [number, number];
      /** All that were touched, those two among them. */
      readonly took: readonly number[];
    };

/** From the first input that goes out to the last that is back. Changed in place. */
export interface OneTouch {
  readonly from: Micros;
  /** The furthest input, and since when it is. */
  lead: number;
  since: Micros;
  /** The input that is touched and a second one that took part, or null. */
  pair: readonly [number, number] | null;
  pressed: boolean;
  /** 1 where it raised the reading, -1 where it lowered it; 0 until it is pressed. */
  sign: number;
  held: boolean;
  /** The lead was on its way back to a rest that was taken again under a finger. */
  freed: boolean;
  /** When something was out last. */
  out: Micros;
  /** Since when the lead has been let go though not at rest; NaN where it is not so. */
  low: Micros;
  readonly moved: Moved[];
}

const changeOf = ({ smooth, rest }: WireInput): number => Math.abs(smooth - rest);

const isOut = (one: WireInput, least: number): boolean =>
  one.learning === null && changeOf(one) > limitOf(one, least);

/** The input that moved furthest of those that are out; -1 where none is. */
function furthest({ inputs, least }: UnknownUnit): number {
  let lead = -1;
  let change = 0;
  inputs.forEach((one, input) => {
    if (!(changeOf(one) > change) || !isOut(one, least)) return;
    change = changeOf(one);
    lead = input;
  });
  return lead;
}

/**
 * Gives an input its former rest back where that is where it is; true where it was so. Only where it
 * got there against the way of a touch: else a touch of a pad whose rest was learned with a finger on
 * it would look the same.
 */
function heal(one: WireInput, { least, rising }: UnknownUnit, t: Micros): boolean {
  const away = Math.sign(one.smooth - one.rest) * rising < 0;
  if (!away || !(Math.abs(one.smooth - one.former) <= limitOf(one, least))) {
    one.formerSince = NaN;
    return false;
  }
  if (Number.isNaN(one.formerSince)) one.formerSince = t;
  if (t - one.formerSince < HEALED) return false;
  one.rest = one.former;
  one.former = NaN;
  return true;
}

/** Takes where the inputs are for their rests, coupled ones too. */
function restsAnew({ inputs, least }: UnknownUnit): void {
  inputs.forEach((one) => {
    if (one.learning === null && 2 * changeOf(one) > limitOf(one, least)) restAnew(one);
  });
}

/** Ends whatever touch is on, without a word. */
export function endTouch(inputs: readonly WireInput[]): null {
  inputs.forEach((one) => (one.peak = 0));
  return null;
}

/** Follows the touch that is on, or begins one, after the inputs moved on to time `t`. */
export function judgeTouch(
  given: OneTouch | null,
  unit: UnknownUnit,
  t: Micros,
  out: TouchedInput[],
): OneTouch | null {
  const { inputs, least } = unit;
  inputs.forEach((one, input) => {
    if (!isOut(one, least) || !heal(one, unit, t)) return;
    one.peak = 0;
    if (input === given?.lead) given.freed = true;
  });
  const lead = furthest(unit);
  if (!given && lead < 0) return null;
  const touch = given ?? beginTouch(lead, t);

  inputs.forEach((one) => {
    if (one.learning === null) one.peak = Math.max(one.peak, changeOf(one));
  });
  const last = touch.moved.at(-1)?.t ?? -Infinity;
  if (t - last >= MOVED_EVERY) touch.moved.push({ t, changes: Float64Array.from(inputs, moved) });

  if (lead >= 0) {
    touch.out = t;
    if (lead !== touch.lead) {
      if (t - touch.since >= SLIP) touch.pair ??= [touch.lead, lead];
      touch.lead = lead;
      touch.since = t;
    }
    tellWhileOn(touch, unit, t, out);
  }
  if (t - touch.from >= STUCK) {
    restsAnew(unit);
    out.push({ type: 'stuck', t, from: touch.from, input: touch.lead });
    return endTouch(inputs);
  }
  if (lead >= 0 || t - touch.out < RELEASE) return touch;
  const told = tellOver(touch, reachesOf(inputs, least), t);
  if (told) out.push(told);
  if (told?.type === 'touched') unit.rising += touch.sign;
  return endTouch(inputs);
}

/** Inputs that were never heard of are holes in the list. */
const moved = (one: WireInput | undefined): number => (one ? changeOf(one) : 0);

function beginTouch(lead: number, t: Micros): OneTouch {
  return {
    from: t,
    lead,
    since: t,
    pair: null,
    pressed: false,
    sign: 0,
    held: false,
    freed: false,
    out: t,
    low: NaN,
    moved: [],
  };
}

function reachesOf(inputs: readonly WireInput[], least: number): Reach[] {
  return Array.from(inputs, (one: WireInput | undefined) => ({
    peak: one?.peak ?? 0,
    limit: one ? limitOf(one, least) : least,
  }));
}

function tellWhileOn(touch: OneTouch, unit: UnknownUnit, t: Micros, out: TouchedInput[]): void {
  const { inputs, least } = unit;
  const { lead } = touch;
  const own = inputs[lead]!;
  if (!touch.pressed && t - touch.since >= HOLD) {
    touch.pressed = true;
    touch.sign = Math.sign(own.smooth - own.rest);
    if (touch.pair === null) out.push({ type: 'pressed', t, input: lead });
  }
  if (!touch.pressed) return;
  if (changeOf(own) < LET_GO * own.peak) {
    if (Number.isNaN(touch.low)) touch.low = t;
    if (t - touch.low < RESIDUE) return;
    restsAnew(unit);
    return;
  }
  touch.low = NaN;
  if (touch.held || touch.pair !== null || t - touch.from < LONG) return;
  touch.held = true;
  const second = secondTouched(touch.moved, lead, reachesOf(inputs, least), false);
  if (second !== null) touch.pair = [lead, second];
  else out.push({ type: 'held', t, input: lead });
}

function tellOver(
  { from, lead, pressed, freed, pair, moved }: OneTouch,
  reaches: readonly Reach[],
  t: Micros,
): TouchedInput | null {
  const unclear = (inputs: readonly [number, number]): TouchedInput => {
    const furthest = reaches.reduce((top, { peak }, i) => (peak > reaches[top]!.peak ? i : top), 0);
    const took = new Set([...inputs, ...touchedBeside(moved, furthest, reaches, true)]);
    return { type: 'unclear', t, from, inputs, took: [...took] };
  };
  if (pair !== null) return unclear(pair);
  if (!pressed) return null;
  if (freed) return { type: 'freed', t };
  const second = secondTouched(moved, lead, reaches, true);
  if (second === null) return { type: 'touched', t, from, input: lead };
  return unclear([lead, second]);
}
