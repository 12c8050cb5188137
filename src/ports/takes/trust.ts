import { foundWords } from '../../instrument/words.js';
import type { OwnCode } from '../../instrument/types.js';
import type { Batches } from '../../takes/read.js';
import type { RoomTakeEvent } from '../../takes/room-line.js';
import type { WireEvent } from '../../wire/scan.js';
import { isShipped } from '../logic/shipped.js';
import { TakeFileFault } from '../files/fault.js';
import { moduleHash, type TrustedModules } from '../logic/trusted.js';

/** A module that a take carries, and where it is. */
export interface CarriedModule {
  readonly own: OwnCode;
  /** The take, for messages. */
  readonly take: string;
}

/** Decides whether a module that a take carries may run: it is a program, by whoever made the take. */
export interface Trust {
  /** Whether it may, without asking anybody. */
  knows(own: OwnCode): boolean;
  /**
   * Makes sure that it may, before it runs for the first time.
   *
   * @throws TakeFileFault where it may not
   */
  require(carried: CarriedModule): Promise<void>;
}

/** For whoever only looks at the readings of takes, or at rules as they are written: no module runs. */
export const RUNS_NONE: Trust = {
  knows: () => false,
  require: () => Promise.resolve(),
};

/** Nobody is there to ask. */
export const ASKS_NOBODY: Trust = {
  knows: () => false,
  require: (carried) => Promise.reject(untrusted(carried)),
};

/** How a person answers for a module. */
export type AskPerson = (carried: CarriedModule, hash: string) => Promise<boolean>;

/**
 * Trusts what the person trusted before and what comes with this program, and asks about anything else.
 *
 * @param once trusts all of it, this time
 * @param ask null: there is nobody to ask
 */
export function personalTrust(
  known: TrustedModules,
  { once, ask }: { readonly once: boolean; readonly ask: AskPerson | null },
): Trust {
  /** Our own, as far as takes have carried them. */
  const ours = new Set<string>();
  const knows = ({ code }: OwnCode): boolean => {
    const hash = moduleHash(code ?? '');
    return once || ours.has(hash) || known.has(hash);
  };
  return {
    knows,
    async require(carried) {
      if (knows(carried.own)) return;
      const hash = moduleHash(carried.own.code ?? '');
      if (await isShipped(carried.own)) {
        ours.add(hash);
        return;
      }
      if (!ask) throw untrusted(carried);
      if (!(await ask(carried, hash))) {
        throw new TakeFileFault(
          `${carried.take}: the module that it carries was not run; --rules NAME plays it by other rules`,
        );
      }
      known.add(hash, carried.own.file);
    },
  };
}

function untrusted({ own, take }: CarriedModule): TakeFileFault {
  return new TakeFileFault(
    `${take}: it carries a module of its own, ${foundWords(own.file)}, which is a program and was never ` +
      'allowed to run here. If you trust whoever made the take, do this in a terminal, which asks once, ' +
      'or add --trust; --rules NAME plays it by other rules',
  );
}

/** The same events, with each module that comes into play among them made sure of first. */
export async function* trusting<Event extends WireEvent | RoomTakeEvent>(
  events: Batches<Event>,
  trust: Trust,
  take: string,
): AsyncGenerator<readonly Event[], void> {
  for await (const batch of events) {
    for (const event of batch) {
      const own = moduleIn(event);
      if (own) await trust.require({ own, take });
    }
    yield batch;
  }
}

/** The module that an event brings into play. */
export function moduleIn(event: WireEvent | RoomTakeEvent): OwnCode | null {
  const own = event.type === 'seated' ? event.event : event;
  if (own.type === 'swap') return own.rules?.logic ?? null;
  return own.type === 'join' ? own.plan.rules.logic : null;
}
