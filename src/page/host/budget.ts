import { Budget, type BudgetPlan } from '../../time/budget.js';
import type { Order } from './carry-out.js';

/** More orders than all pages together may give (see the server's limits): beyond, something is wrong. */
const ORDERS: BudgetPlan = { perSecond: 2_000, burst: 4_000 };

/** Orders that only end something: they are never left out, since something might go on for ever. */
const ends = (order: Order): boolean =>
  order.ask === 'release' || order.ask === 'silence' || (order.ask === 'hold' && !order.on);

/** Says of each order whether there is time for it, so that no flood of them holds up playing. */
export function orderBudget(now: () => number): (order: Order) => boolean {
  const budget = new Budget(ORDERS, now());
  return (order) => ends(order) || budget.take(now());
}
