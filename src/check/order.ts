import type { Instrument } from '../instrument/types.js';
import { changeOf, firmestOf, type MeasuredTouch } from './measure.js';
import { printedOrder } from '../instrument/instrument-pads.js';
import type { Exchange, SpareInput } from './types.js';

/** With fewer pads touched an order tells nothing. */
const LEAST_PADS = 6;
/** The order is a printed one with exceptions where at least this share of the pads is in its place. */
const IN_PLACE = 0.7;
/** A touch under this share of its pad's firmest one may have been a brush. */
const FIRM = 0.5;

interface Sample {
  readonly pad: number;
  readonly from: number;
}

/** Firm touches in the order of time. */
export function firmTouches(touches: readonly MeasuredTouch[]): Sample[] {
  return touches
    .filter((touch) => changeOf(touch) >= FIRM * changeOf(firmestOf(touches, touch.pad)!))
    .map(({ pad, from }) => ({ pad, from }))
    .sort((a, b) => a.from - b.from);
}

/** For each place of the printed order, the pad that answered; null where that is no order at all. */
function answers(
  printed: readonly number[],
  seen: readonly number[],
): ReadonlyMap<number, number> | null {
  const answered = new Map<number, number>();
  printed.forEach((pad, i) => answered.set(pad, seen[i]!));
  const inPlace = printed.filter((pad) => answered.get(pad) === pad).length;
  return inPlace >= IN_PLACE * printed.length ? answered : null;
}

/** Follows who answered in whose place, round to where it began. */
function roundsOf(answered: ReadonlyMap<number, number>): Exchange[] {
  const rounds: Exchange[] = [];
  const done = new Set<number>();
  for (const [start, first] of answered) {
    if (done.has(start) || first === start) continue;
    const touched: number[] = [];
    for (let pad = start; !done.has(pad); pad = answered.get(pad)!) {
      done.add(pad);
      touched.push(pad);
    }
    rounds.push({ touched, answered: touched.map((pad) => answered.get(pad)!) });
  }
  return rounds;
}

/**
 * Wires that seem to have changed places: those that answered out of turn while all the others
 * answered in the printed order. Where the pads were touched twice round, both rounds must say so.
 * An order that is not clearly the printed one tells nothing.
 */
export function exchangesOf(touches: readonly MeasuredTouch[], instrument: Instrument): Exchange[] {
  const order = firmTouches(touches).map(({ pad }) => pad);
  const first = [...new Set(order)];
  const last = [...new Set([...order].reverse())].reverse();
  if (first.length < LEAST_PADS) return [];
  const printed = printedOrder(instrument).filter((pad) => first.includes(pad));
  const once = answers(printed, first);
  if (!once) return [];
  const again = answers(printed, last) ?? once;
  const same = (exchange: Exchange): boolean =>
    exchange.touched.every((pad, i) => again.get(pad) === exchange.answered[i]);
  return roundsOf(once).filter(same);
}

/**
 * Pads that gave no touch while an input that nothing is wired to moved in their place of the printed
 * order: their wire seems to sit there.
 *
 * @param spareTouches when spare inputs moved, in samples of the same take
 */
export function elsewhereOf(
  silent: readonly number[],
  touches: readonly MeasuredTouch[],
  spareTouches: readonly { readonly input: SpareInput['input']; readonly from: number }[],
  instrument: Instrument,
): { pad: number; input: number }[] {
  const order = firmTouches(touches);
  const first = [...new Set(order.map(({ pad }) => pad))];
  const printed = printedOrder(instrument);
  const touched = printed.filter((pad) => first.includes(pad));
  if (first.length < LEAST_PADS || !answers(touched, first)) return [];
  const when = (pad: number): number => order.find((touch) => touch.pad === pad)!.from;
  const fitting = spareTouches.flatMap(({ input, from }) => {
    const pads = silent.filter((pad) => {
      const place = printed.indexOf(pad);
      const before = printed
        .slice(0, place)
        .filter((one) => first.includes(one))
        .at(-1);
      const after = printed.slice(place + 1).find((one) => first.includes(one));
      return (
        (before === undefined || when(before) < from) && (after === undefined || from < when(after))
      );
    });
    return pads.length === 1 ? [{ pad: pads[0]!, input }] : [];
  });
  // One wire each: a pad with two such inputs, or an input with two pads, is not clear.
  return fitting.filter(
    ({ pad, input }, i) =>
      !fitting.some((other, k) => k !== i && (other.pad === pad) !== (other.input === input)) &&
      fitting.findIndex((other) => other.pad === pad) === i,
  );
}
