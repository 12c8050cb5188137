/** Raw values of one seat that go together. */
interface Readings {
  readonly inputs: readonly number[];
  readonly raws: readonly number[];
}

/** What is known of the inputs of a seat on another computer. */
export interface FarPads {
  /**
   * Readings in the order in which they are played: gives those that are news. A packet that others
   * overtook is news only of inputs that they did not speak of.
   */
  scan(number: number, readings: Readings): Readings;
  /**
   * What inputs read last when `number` was sent: gives those of which that is not known, since their
   * scan was lost.
   */
  now(number: number, readings: Readings): Readings;
}

export function farPads(): FarPads {
  /** The number of the packet that last spoke of an input, and what it read. */
  const spoke: (number | undefined)[] = [];
  const read: (number | undefined)[] = [];

  /** Readings of inputs of which no later packet spoke. */
  function newest(number: number, { inputs, raws }: Readings): Readings {
    const kept = inputs.map((_, i) => i).filter((i) => number > (spoke[inputs[i]!] ?? -1));
    for (const i of kept) spoke[inputs[i]!] = number;
    return pick({ inputs, raws }, kept);
  }

  function keep(readings: Readings): Readings {
    readings.inputs.forEach((input, i) => (read[input] = readings.raws[i]));
    return readings;
  }

  return {
    scan: (number, readings) => keep(newest(number, readings)),
    now(number, readings) {
      const all = newest(number, readings);
      const other = all.inputs.map((_, i) => i).filter((i) => read[all.inputs[i]!] !== all.raws[i]);
      return keep(pick(all, other));
    },
  };
}

function pick(readings: Readings, kept: readonly number[]): Readings {
  if (kept.length === readings.inputs.length) return readings;
  return { inputs: kept.map((i) => readings.inputs[i]!), raws: kept.map((i) => readings.raws[i]!) };
}
