import { isDeepStrictEqual } from 'node:util';
import { FileFault } from '../../instrument/fault.js';
import type { Rules } from '../../instrument/types.js';
import type { Tell } from '../contracts.js';
import type { ReadySeat } from '../files/room.js';
import { loadRules } from '../files/files.js';
import { nodeTimers, type Timers } from '../live-clock.js';
import { clean } from '../printable.js';
import { repeats } from '../repeats.js';
import type { Service } from '../service.js';

/** Switches a seat's rules while it plays. */
export interface RulesChoice {
  /** The next of the seat's rule sets, and after the last the first. */
  next(seat: number): void;
  /** @param number counted from 1 in the seat's list, as MIDI programs are */
  numbered(seat: number, number: number): void;
  /**
   * Any rules by name; resolves once they are in effect, were told not to be there, or other ones were
   * asked for meanwhile.
   */
  named(seat: number, name: string): Promise<void>;
  /**
   * The files were read again, or seats have come and gone: what a seat has chosen is brought up to date.
   *
   * @param seats by slot; null where nobody plays
   */
  update(seats: readonly (ReadySeat | null)[]): void;
}

export interface RulesChoiceOptions {
  /** By slot; null where nobody plays. */
  readonly seats: readonly (ReadySeat | null)[];
  readonly folder: string;
  readonly service: Pick<Service, 'swap'>;
  readonly tell: Tell;
  /** Reads rules by name; left out: in this thread. */
  readonly load?: (name: string) => Promise<Rules>;
  readonly timers?: Timers;
}

/** Rules that wait to take effect. */
interface Waiting {
  readonly name: string;
  readonly rules: Rules;
  readonly settle: () => void;
}

/** Rules that wait to be loaded. */
interface Wanted {
  readonly name: string;
  readonly settle: () => void;
}

/** A seat's rules take effect so far apart: far quicker than anybody can play by them. */
const PAUSE_MS = 100;
/** The same trouble with program changes is told again so long after at the earliest. */
const QUIET_MS = 5_000;

/**
 * Chooses among the rule sets that a room names under `switch`, or any others by name. However many are asked
 * for, one is loaded at a time, and of a seat's the latest takes effect.
 */
export function rulesChoice({
  folder,
  service,
  tell,
  load,
  timers = nodeTimers,
  ...options
}: RulesChoiceOptions): RulesChoice {
  let seats = [...options.seats];
  /** By slot, which of its list is in effect; none where it plays by the rules of its own. */
  const chosen = new Map<number, number>();

  const where = (seat: number): string => `seat ${seats[seat]?.seat.name ?? String(seat)}`;
  const due = repeats(QUIET_MS);

  /** By seat, when its rules may change again, and those that are to take effect then. */
  const free = new Map<number, number>();
  const waiting = new Map<number, Waiting>();

  function takeEffect(seat: number, { name, rules, settle }: Waiting): void {
    free.set(seat, timers.now() + PAUSE_MS);
    service.swap(seat, { rules });
    tell({ level: 'info', what: `Plays by the rules ${name} now`, where: where(seat) });
    settle();
  }

  function play(seat: number, next: Waiting): void {
    const before = waiting.get(seat);
    const left = (free.get(seat) ?? 0) - timers.now();
    if (before === undefined && left <= 0) {
      takeEffect(seat, next);
      return;
    }
    waiting.set(seat, next);
    if (before) before.settle();
    else
      timers.after(left, () => {
        const latest = waiting.get(seat);
        waiting.delete(seat);
        if (latest) takeEffect(seat, latest);
      });
  }

  /** By seat, in the order in which they were asked for. */
  const wanted = new Map<number, Wanted>();
  let loading: { readonly seat: number; dropped: boolean } | null = null;

  /** Whatever was asked for before is not wanted any more. */
  function forget(seat: number): void {
    wanted.get(seat)?.settle();
    wanted.delete(seat);
    if (loading?.seat === seat) loading.dropped = true;
  }

  async function loadNext(): Promise<void> {
    if (loading) return;
    for (const [seat, { name, settle }] of wanted) {
      wanted.delete(seat);
      const own = (loading = { seat, dropped: false });
      try {
        const rules = await (load ?? loadRules)(name, folder);
        if (own.dropped) settle();
        else {
          chosen.delete(seat);
          play(seat, { name, rules, settle });
        }
      } catch (error) {
        settle();
        if (!(error instanceof FileFault)) throw error;
        if (!own.dropped) refuse(seat, name, error);
      } finally {
        loading = null;
      }
    }
  }

  function refuse(seat: number, name: string, error: FileFault): void {
    tell({
      level: 'warn',
      what: `The rules "${clean(name)}" cannot be used: ${error.message.replace(/\s+/g, ' ')}`,
      where: where(seat),
      next: 'It plays on by the rules it had',
    });
  }

  /** Whoever takes the slot next has chosen nothing. */
  function leave(seat: number): void {
    forget(seat);
    waiting.get(seat)?.settle();
    waiting.delete(seat);
    free.delete(seat);
    chosen.delete(seat);
  }

  function choose(seat: number, index: number): void {
    const choice = seats[seat]?.choices[index];
    if (!choice) return;
    forget(seat);
    chosen.set(seat, index);
    play(seat, { name: choice.name, rules: choice.rules, settle: () => undefined });
  }

  /** The list begins with what the seat plays by already, where it is in it. */
  function current(seat: number): number {
    const own = seats[seat]!;
    return chosen.get(seat) ?? own.choices.findIndex(({ name }) => name === own.seat.rules);
  }

  return {
    next(seat) {
      const count = seats[seat]?.choices.length ?? 0;
      if (count > 0) choose(seat, (current(seat) + 1) % count);
    },
    numbered(seat, number) {
      const count = seats[seat]?.choices.length ?? 0;
      if (number >= 1 && number <= count) {
        choose(seat, number - 1);
        return;
      }
      if (due(`program ${String(seat)}`, timers.now()) === 0) return;
      tell({
        level: 'warn',
        what: `A program change asks for rule set ${String(number)}, and there ${count === 1 ? 'is 1' : `are ${String(count)}`}`,
        where: where(seat),
        next: 'List the rule sets under "switch:" of the seat in the room file',
      });
    },
    named(seat, name) {
      const listed = seats[seat]?.choices.findIndex((choice) => choice.name === name) ?? -1;
      if (listed >= 0) {
        choose(seat, listed);
        return Promise.resolve();
      }
      forget(seat);
      return new Promise((settle) => {
        wanted.set(seat, { name, settle });
        void loadNext();
      });
    },
    update(now) {
      const before = seats;
      seats = [...now];
      for (const [seat, was] of before.entries()) {
        if (was && was.seat.name !== now[seat]?.seat.name) leave(seat);
      }
      for (const [seat, index] of chosen) {
        const was = before[seat]?.choices[index];
        const is = now[seat]?.choices[index];
        const again = !isDeepStrictEqual(before[seat]?.rules, now[seat]?.rules);
        if (!is || again) chosen.delete(seat);
        else if (!isDeepStrictEqual(was?.rules, is.rules)) choose(seat, index);
      }
    },
  };
}
