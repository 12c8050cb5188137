import type { RemoteInfo } from 'node:dgram';
import type { Tell } from '../contracts.js';
import { nodeTimers, type Timers } from '../live-clock.js';
import { networkBudget, type NetworkBudget } from '../osc/network-budget.js';
import { listenUdp } from '../osc/listen.js';
import { clean } from '../printable.js';
import { decodeControl } from './control-messages.js';
import type { RulesChoice } from './rules-choice.js';
import type { Service } from '../service.js';

export interface RoomControlOptions {
  /** 0: any free one. */
  readonly port: number;
  /** Where to listen; 127.0.0.1 lets in only the programs of this computer. */
  readonly host: string;
  /** The seats' names by slot, as they are now; null where nobody plays. */
  readonly seats: () => readonly (string | null)[];
  readonly service: Pick<Service, 'change' | 'silence'>;
  readonly rules: Pick<RulesChoice, 'named'>;
  readonly tell: Tell;
  readonly timers?: Timers;
  /** What each sender may ask for; left out: one of this port's own. */
  readonly budget?: NetworkBudget;
}

/** Listens for what people change while the room plays. */
export interface RoomControl {
  /** The port, once it is open for the first time. */
  readonly opened: Promise<number>;
  close(): Promise<void>;
}

/** Trouble with messages is told again this long after at the earliest. */
const PAUSE_MS = 5_000;
/** So many different ones are told within that time, and in all. */
const MOST_AT_ONCE = 8;
const MOST_KNOWN = 100;

/**
 * Control of a room over OSC; see `decodeControl` for the messages. A port in use is told and tried
 * again while the room plays on.
 */
export function roomControl(options: RoomControlOptions): RoomControl {
  const { port, host, seats, service, rules, tell, timers = nodeTimers } = options;
  const where = `control on UDP port ${String(port)}`;
  /** What was told already: each different fault is told at once, and its repetitions only counted. */
  const known = new Set<string>();
  let fresh = 0;
  let untold = 0;
  let quiet = -Infinity;

  function complain(from: RemoteInfo, faults: readonly string[]): void {
    const now = timers.now();
    const warn = (what: string): void => {
      const names = seats().filter((name) => name !== null);
      const next = `Correct the program that sends them; seats here: ${names.join(', ')}`;
      tell({ level: 'warn', what, where, next });
    };
    if (now >= quiet) {
      quiet = now + PAUSE_MS;
      fresh = 0;
      if (untold > 0) {
        const fault = clean(faults.at(-1)!);
        const all = `${String(untold + 1)} more messages change nothing`;
        warn(`${all}; the last came from ${from.address}: ${fault}`);
        known.add(fault);
        untold = 0;
        return;
      }
    }
    for (const fault of faults.map(clean)) {
      if (known.has(fault) || fresh === MOST_AT_ONCE || known.size === MOST_KNOWN) {
        untold += 1;
        continue;
      }
      known.add(fault);
      fresh += 1;
      warn(`A message from ${from.address} changes nothing: ${fault}`);
    }
  }

  let ready: (port: number) => void = () => undefined;
  const opened = new Promise<number>((resolve) => (ready = resolve));
  const listening = listenUdp({
    port,
    host,
    tell,
    timers,
    budget: options.budget ?? networkBudget({ tell, timers }),
    senders: { name: 'programs that change the room', set: '`control`, and the program,' },
    onPacket(bytes, from) {
      const { wishes, faults } = decodeControl(bytes, seats());
      for (const wish of wishes) {
        if (wish === 'silence') service.silence();
        else if (wish.type === 'rules') void rules.named(wish.seat, wish.name);
        else service.change(wish);
      }
      if (faults.length > 0) complain(from, faults);
    },
    onOpen: (real) => {
      ready(real);
    },
    onLost: () => undefined,
  });
  return { opened, close: () => listening.close() };
}
