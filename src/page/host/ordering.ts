import type { Tell } from '../../ports/contracts.js';
import { orderBudget } from './budget.js';
import { carryOut, type Answer, type Order, type Orderable } from './carry-out.js';

export interface OrderingOptions extends Orderable {
  /** Milliseconds on a clock that never falls. */
  readonly now: () => number;
  readonly answer: (id: number, refused: Answer) => void;
  readonly tell: Tell;
  /** So much is asked for that even refusing it takes too long. */
  readonly onFlood: () => void;
}

/** These work on a seat's files, one after the other. */
const ON_FILES: ReadonlySet<Order['ask']> = new Set([
  'try',
  'undo-tried',
  'rules',
  'keep',
  'build',
]);
/** So many may wait for a file; more are refused. */
const MOST_WAITING = 64;
/** So many refused ones in a row are no page's doing any more. */
const FLOOD = 20_000;

/** Carries out what pages ask for, in its order, and answers each; no fault of it reaches the room. */
export function ordering(options: OrderingOptions): (id: number, order: Order) => void {
  const { answer, tell } = options;
  const may = orderBudget(options.now);
  let last: Promise<void> | null = null;
  let waiting = 0;
  let refused = 0;
  let told = false;

  function failed(id: number, error: unknown): void {
    const why = error instanceof Error ? error.message : String(error);
    if (!told) {
      tell({
        level: 'error',
        what: `something that a page asked for failed: ${why}`,
        where: 'page',
        next: 'Playing goes on; please report it',
      });
    }
    told = true;
    answer(id, `It failed: ${why}. Playing goes on; please report it`);
  }

  function carry(id: number, order: Order): Promise<void> | null {
    try {
      const done = carryOut(order, options);
      if (!(done instanceof Promise)) {
        answer(id, done);
        return null;
      }
      return done.then(
        (words) => answer(id, words),
        (error: unknown) => failed(id, error),
      );
    } catch (error) {
      failed(id, error);
      return null;
    }
  }

  function inTurn(id: number, order: Order): void {
    if (waiting >= MOST_WAITING) {
      answer(id, BUSY);
      return;
    }
    waiting += 1;
    const own: Promise<void> = (last ?? Promise.resolve())
      .then(() => carry(id, order) ?? undefined)
      .then(() => {
        waiting -= 1;
        if (last === own) last = null;
      });
    last = own;
  }

  return (id, order) => {
    if (!may(order)) {
      refused += 1;
      if (refused === FLOOD) options.onFlood();
      else if (refused < FLOOD) answer(id, BUSY);
      return;
    }
    refused = 0;
    if (!ON_FILES.has(order.ask)) carry(id, order);
    else if (last) inTurn(id, order);
    else {
      const done = carry(id, order);
      if (!done) return;
      const own = done.then(() => {
        if (last === own) last = null;
      });
      last = own;
    }
  };
}

const BUSY = 'Too much is asked for at once: try again in a moment';
