import { formatBuild, isWiring, parseBuild } from '../instrument/build.js';
import { FileFault, problemWhat } from '../instrument/fault.js';
import { instrumentAsWritten, parseInstrument } from '../instrument/instrument.js';
import { parseRules } from '../instrument/rules.js';
import type { Micros } from '../time/micros.js';
import type { Swap } from '../wire/scan.js';
import { rulesAsWritten } from './rules-written.js';

const FILE = 'the take';

/** Reads what a line says of files that were changed while somebody played. A string is what is wrong with it. */
export function parseSwap(t: Micros, value: unknown): Swap | string {
  if (typeof value !== 'object' || value === null) return 'its "swap" holds no files';
  const { rules, instrument, build, wiring } = value as Record<string, unknown>;
  if (wiring !== undefined && (build !== null || !isWiring(wiring))) {
    return 'its "wiring" is no list of pads, or stands beside a build';
  }
  const read = <Value>(part: unknown, parse: (text: string, file: string) => Value): Value =>
    parse(JSON.stringify(part), FILE);
  try {
    const changed = rules === undefined ? undefined : read(rules, parseRules);
    if (changed?.logic?.code === null) {
      return 'its rules name a module by its path and do not carry it';
    }
    return {
      type: 'swap',
      t,
      ...(changed === undefined ? {} : { rules: changed }),
      ...(instrument === undefined ? {} : { instrument: read(instrument, parseInstrument) }),
      ...(build === undefined ? {} : { build: build === null ? null : read(build, parseBuild) }),
      ...(wiring === undefined ? {} : { wiring }),
    };
  } catch (error) {
    if (!(error instanceof FileFault)) throw error;
    const [first] = error.problems;
    return `the files in it cannot be read${first ? `: ${problemWhat(first)}` : ''}`;
  }
}

/** One line of a take, without its line end. */
export function formatSwap({ t, rules, instrument, build, wiring }: Swap): string {
  return JSON.stringify({
    t,
    swap: {
      ...(rules && { rules: rulesAsWritten(rules) }),
      ...(instrument && { instrument: instrumentAsWritten(instrument) }),
      ...(build === undefined
        ? {}
        : { build: build && (JSON.parse(formatBuild(build)) as object) }),
      ...(wiring && { wiring }),
    },
  });
}
