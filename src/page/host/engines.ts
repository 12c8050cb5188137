import type { Ceiling } from '../../instrument/ceiling.js';
import type { Engine } from '../../ports/contracts.js';
import type { Clock } from '../../time/clock.js';
import { switched, type SwitchedEngine } from './engine-switch.js';

/** An engine as pages know it. */
export interface HostEngine {
  /** Names it to pages; no other engine ever gets it. */
  readonly id: number;
  /** As it was opened. */
  readonly opened: Engine;
  readonly engine: SwitchedEngine;
  /** What its sound keeps to; null: it has no ceiling. */
  readonly ceiling: Ceiling | null;
}

/** The engines that there are now, each with a switch for pages. */
export class HostEngines {
  all: readonly HostEngine[] = [];
  readonly #slots: () => Iterable<number>;
  readonly #clock: Clock;
  #id = 0;

  /** @param slots those in which somebody plays now */
  constructor(slots: () => Iterable<number>, clock: Clock) {
    this.#slots = slots;
    this.#clock = clock;
  }

  /**
   * These are the engines from now on. One that stays keeps its switch as it is.
   *
   * @param ceilings by engine
   * @returns the engines with their switches, to be played through
   */
  set(
    engines: readonly Engine[],
    ceilings: readonly (Ceiling | null)[],
  ): readonly SwitchedEngine[] {
    this.all = engines.map((opened, i): HostEngine => {
      const ceiling = ceilings[i] ?? null;
      const before = this.all.find((one) => one.opened === opened);
      if (before) return { ...before, ceiling };
      const engine = switched(opened, this.#slots, this.#clock);
      return { id: this.#id++, opened, engine, ceiling };
    });
    return this.all.map(({ engine }) => engine);
  }

  byId(id: number): HostEngine | undefined {
    return this.all.find((one) => one.id === id);
  }
}
