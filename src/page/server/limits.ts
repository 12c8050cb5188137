import type { BudgetPlan } from '../../time/budget.js';

/** What pages may cost. */
export interface Limits {
  /** How many pages are open at once. */
  readonly pages: number;
  /** The longest thing that a page says, in bytes. */
  readonly messageBytes: number;
  /** What one page may ask for; more is refused. */
  readonly asks: BudgetPlan;
  /** What all pages together may ask for, and all guests. */
  readonly allAsks: BudgetPlan;
  readonly guestAsks: BudgetPlan;
  /** A page of which so much was refused is closed. */
  readonly refusals: BudgetPlan;
  /** A page that has so many bytes still to come, or has not answered for `lateMs`, gets no frames. */
  readonly behindBytes: number;
  readonly lateMs: number;
  /** What a page holds down that has not answered for so long is let go of. */
  readonly lostMs: number;
  /** A page that has been behind or has not answered for so long is closed. */
  readonly slowMs: number;
  /** How often each page is asked to answer. */
  readonly pingMs: number;
}

/** Far more than fingers on a drawing need: a few, moving, at 60 reports a second each. */
export const LIMITS: Limits = {
  pages: 64,
  messageBytes: 65_536,
  asks: { perSecond: 300, burst: 600 },
  allAsks: { perSecond: 900, burst: 1_800 },
  guestAsks: { perSecond: 100, burst: 300 },
  refusals: { perSecond: 10, burst: 300 },
  behindBytes: 131_072,
  lateMs: 1_500,
  lostMs: 3_000,
  slowMs: 20_000,
  pingMs: 1_000,
};
