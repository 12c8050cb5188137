import { padCount } from '../../instrument/instrument-pads.js';
import { padNames } from '../../instrument/pad-names.js';
import type { Instrument } from '../../instrument/types.js';
import { wiringOf, type PadsPlan } from '../../pads/plan.js';
import { SECOND, type Micros } from '../../time/micros.js';
import type { Notice } from '../contracts.js';

/** Compares which inputs a board sends with those that its instrument has pads for. */
export interface InputsSeen {
  see(inputs: readonly number[]): void;
  /**
   * @param steady the board sends steadily: an input that does not come is missing
   * @returns what does not fit; `fit` where it does; null where that is not known yet
   */
  look(t: Micros, steady: boolean): Omit<Notice, 'level' | 'where'> | 'fit' | null;
}

/** Two times in a row the same inputs must have come in so long: then these are all. */
const SPAN: Micros = SECOND;
/** After so many spans it is given up: what comes is not always the same. */
const SPANS = 60;
const MOST_NAMES = 6;

/** @param since when it is begun, on the clock of `look` */
export function inputsSeen(instrument: Instrument, pads: PadsPlan, since: Micros): InputsSeen {
  const wiring = wiringOf(pads);
  let seen = new Set<number>();
  let before: ReadonlySet<number> = new Set();
  let until = since + SPAN;
  let spans = 0;

  const isSame = (): boolean =>
    seen.size === before.size && [...seen].every((input) => before.has(input));

  return {
    see(inputs) {
      for (const input of inputs) seen.add(input);
    },
    look(t, steady) {
      if (t < until) return null;
      until = t + SPAN;
      if (seen.size === 0) return null;
      spans += 1;
      const ignored = pads.build ? [] : [...seen].filter((input) => wiring[input] === undefined);
      const sure = steady ? isSame() : ignored.length > 0;
      if (sure) return misfit(seen, ignored, steady);
      if (spans >= SPANS) return 'fit';
      before = seen;
      seen = new Set();
      return null;
    },
  };

  function misfit(
    inputs: ReadonlySet<number>,
    ignored: readonly number[],
    all: boolean,
  ): Omit<Notice, 'level' | 'where'> | 'fit' {
    const fed = new Set([...inputs].map((input) => wiring[input]));
    const names = padNames(instrument);
    const wanted = wiring.flatMap((pad) => (pad === null ? [] : [pad]));
    const without = all ? wanted.filter((pad) => !fed.has(pad)).sort((a, b) => a - b) : [];
    if (without.length === 0 && ignored.length === 0) return 'fit';
    const count = padCount(instrument);
    const came = `Its board sends ${String(inputs.size)} ${inputs.size === 1 ? 'input' : 'inputs'} (${ranges(inputs)})`;
    const has = `${instrument.name} has ${String(count)} pads`;
    const effects = [
      ...(without.length > 0
        ? [`${padWords(without, names, wanted.length)} without an input`]
        : []),
      ...(ignored.length > 0 ? [`the board's ${inputWords(ignored)} ignored`] : []),
    ];
    return {
      what: `${came}, and ${has}: ${effects.join(', and ')}`,
      next: pads.build
        ? 'Check that its sketch reads all inputs, or learn the wiring again with "pluckwork wire"'
        : `Check that its sketch reads all inputs, and that the seat's instrument is the right one. Without a build, input 0 is pad 0, and so on; if the wires are in another order, use "pluckwork wire"`,
    };
  }
}

function padWords(pads: readonly number[], names: readonly string[], all: number): string {
  if (pads.length === all) return `all ${String(all)} are`;
  const named = pads.slice(0, MOST_NAMES).map((pad) => names[pad] ?? `pad ${String(pad)}`);
  const more = pads.length - named.length;
  const list = more > 0 ? `${named.join(', ')} and ${String(more)} more` : named.join(', ');
  return `${list} ${pads.length === 1 ? 'is' : 'are'}`;
}

function inputWords(inputs: readonly number[]): string {
  const word = inputs.length === 1 ? 'input' : 'inputs';
  return `${word} ${ranges(inputs)} ${inputs.length === 1 ? 'is' : 'are'}`;
}

/** Such as `0 to 15, 20`. */
export function ranges(numbers: Iterable<number>): string {
  const runs: [from: number, to: number][] = [];
  for (const number of [...numbers].sort((a, b) => a - b)) {
    const last = runs.at(-1);
    if (last && number === last[1] + 1) last[1] = number;
    else runs.push([number, number]);
  }
  const words = runs.map(([from, to]) =>
    from === to ? String(from) : `${String(from)} to ${String(to)}`,
  );
  const shown = words.slice(0, MOST_NAMES).join(', ');
  return words.length > MOST_NAMES ? `${shown} and more` : shown;
}
