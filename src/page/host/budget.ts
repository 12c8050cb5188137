import type { Order } from './carry-out.js';

/** More orders than all pages together may give (see the server's limits): beyond, something is wrong. */
export const ORDERS = { perSecond: 2_000, burst: 4_000 } as const;

/** Orders that only end something: they are never left out, since something might go on for ever. */
const ends = (order: Order): boolean =>
  order.ask === 'release' || order.ask === 'silence' || (order.ask === 'hold' && !order.on);

/** Says of each order whether there is time for it, so that no flood of them holds up playing. */
export function orderBudget(now: () => number): (order: Order) => boolean {
  let left: number = ORDERS.burst;
  let at = now();
  return (order) => {
    const then = at;
    at = now();
    left = Math.min(ORDERS.burst, left + ((at - then) * ORDERS.perSecond) / 1_000);
    if (ends(order)) return true;
    if (left < 1) return false;
    left -= 1;
    return true;
  };
}
