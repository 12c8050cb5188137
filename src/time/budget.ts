/** How much may be asked for: `burst` at once, and `perSecond` from then on. */
export interface BudgetPlan {
  readonly perSecond: number;
  readonly burst: number;
}

/** What is left to ask for. */
export class Budget {
  readonly #plan: BudgetPlan;
  #left: number;
  #at: number;

  /** @param now in ms */
  constructor(plan: BudgetPlan, now: number) {
    this.#plan = plan;
    this.#left = plan.burst;
    this.#at = now;
  }

  /** Takes one, or `count`; false, and takes nothing, where less is left. */
  take(now: number, count = 1): boolean {
    const { perSecond, burst } = this.#plan;
    const more = (Math.max(0, now - this.#at) * perSecond) / 1_000;
    this.#left = Math.min(burst, this.#left + more);
    this.#at = now;
    if (this.#left < count) return false;
    this.#left -= count;
    return true;
  }
}
