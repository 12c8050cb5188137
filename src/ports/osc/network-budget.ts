import { Budget, type BudgetPlan } from '../../time/budget.js';
import { oscParts } from '../../wire/osc-shape.js';
import type { Tell } from '../contracts.js';
import { nodeTimers, type Timers } from '../live-clock.js';
import { repeats } from '../repeats.js';

/**
 * How much may come over the network, in messages: one of more than 128 bytes counts as several. Twenty
 * boards that scan 250 times a second and send each scan as four messages come to 20,000 a second together.
 */
export interface NetworkPlan {
  /** Of one address; all that is over it is dropped. */
  readonly one: BudgetPlan;
  /** What each address has for itself, whatever others send. */
  readonly own: BudgetPlan;
  /** What all addresses share, beyond their own. */
  readonly shared: BudgetPlan;
}

export const NETWORK_PLAN: NetworkPlan = {
  one: { perSecond: 20_000, burst: 20_000 },
  own: { perSecond: 1_500, burst: 3_000 },
  shared: { perSecond: 30_000, burst: 30_000 },
};

/** The limit on what every sender in the network may ask of this computer, over all its OSC ports. */
export interface NetworkBudget {
  /** Whether a datagram may be read. */
  admits(address: string, bytes: Uint8Array): boolean;
  /**
   * Calls back when something of an address begins to be dropped, at most once a second: the end of a
   * touch may be missing now. null: of any of many addresses. Returns what takes the call back.
   */
  onDropped(call: Dropped): () => void;
}

export type Dropped = (address: string | null) => void;

/** A message of this size counts as one. */
const UNIT_BYTES = 128;
/** How long nothing of an address is read that has sent too much. */
const CLOSED_MS = 1_000;
const PAUSE_MS = 60_000;
/** More addresses than a class has boards; of any more, all that is new counts as of one. */
const MOST_ADDRESSES = 128;
/** An address of which nothing came for so long makes room for another. */
const IDLE_MS = 10_000;
const OTHERS = 'other addresses';

interface Sender {
  readonly one: Budget;
  readonly own: Budget;
  last: number;
  closedUntil: number;
}

/** @param options.tell is told of each address that sends too much, with what to do */
export function networkBudget({
  tell,
  timers = nodeTimers,
  plan = NETWORK_PLAN,
}: {
  readonly tell: Tell;
  readonly timers?: Pick<Timers, 'now'>;
  readonly plan?: NetworkPlan;
}): NetworkBudget {
  const senders = new Map<string, Sender>();
  const shared = new Budget(plan.shared, timers.now());
  const due = repeats(PAUSE_MS);
  const calls = new Set<Dropped>();

  function senderOf(address: string, now: number): readonly [name: string, Sender] {
    const known = senders.get(address);
    if (known) return [address, known];
    if (senders.size >= MOST_ADDRESSES) {
      for (const [other, { last }] of senders) if (now - last > IDLE_MS) senders.delete(other);
    }
    if (senders.size >= MOST_ADDRESSES && address !== OTHERS) return senderOf(OTHERS, now);
    const sender = {
      one: new Budget(plan.one, now),
      own: new Budget(plan.own, now),
      last: now,
      closedUntil: -Infinity,
    };
    senders.set(address, sender);
    return [address, sender];
  }

  function tooMuch(address: string, now: number): void {
    if (due(address, now) > 0) {
      tell({
        level: 'warn',
        what: `${address} sends more than this computer can read, so what it sends is dropped for a second at a time`,
        where: 'network',
        next: `Find the device or program at ${address} and stop it, or let it send less often`,
      });
    }
    for (const call of calls) call(address === OTHERS ? null : address);
  }

  return {
    admits(address, bytes) {
      const now = timers.now();
      const [name, sender] = senderOf(address, now);
      sender.last = now;
      if (now < sender.closedUntil) return false;
      const cost = costOf(bytes);
      if (sender.one.take(now, cost) && (sender.own.take(now, cost) || shared.take(now, cost))) {
        return true;
      }
      sender.closedUntil = now + CLOSED_MS;
      tooMuch(name, now);
      return false;
    },
    onDropped(call) {
      calls.add(call);
      return () => calls.delete(call);
    },
  };
}

function costOf(bytes: Uint8Array): number {
  const parts = oscParts(bytes);
  const messages = typeof parts === 'string' ? 1 : parts.length;
  return Math.max(1, messages, Math.ceil(bytes.length / UNIT_BYTES));
}
