import { isDeepStrictEqual } from 'node:util';
import { FileFault } from '../instrument/fault.js';
import type { Rules } from '../instrument/types.js';
import type { Tell } from './contracts.js';
import type { ReadySeat } from './files-room.js';
import { loadRules } from './files.js';
import type { Service } from './service.js';

/** Switches a seat's rules while it plays. */
export interface RulesChoice {
  /** The next of the seat's rule sets, and after the last the first. */
  next(seat: number): void;
  /** @param number counted from 1 in the seat's list, as MIDI programs are */
  numbered(seat: number, number: number): void;
  /** Any rules by name; resolves once they are in effect, or were told not to be there. */
  named(seat: number, name: string): Promise<void>;
  /** The files were read anew: what a seat has chosen is brought up to date. */
  update(seats: readonly ReadySeat[]): void;
}

export interface RulesChoiceOptions {
  readonly seats: readonly ReadySeat[];
  readonly folder: string;
  readonly service: Pick<Service, 'swap'>;
  readonly tell: Tell;
  /** Reads rules by name; left out: in this thread. */
  readonly load?: (name: string) => Promise<Rules>;
}

/** Chooses among the rule sets that a room names under `switch`, or any others by name. */
export function rulesChoice({
  folder,
  service,
  tell,
  load,
  ...options
}: RulesChoiceOptions): RulesChoice {
  let seats = options.seats;
  /** By seat, which of its list is in effect; none where it plays by the rules of its own. */
  const chosen = new Map<number, number>();

  const where = (seat: number): string => `seat ${seats[seat]?.seat.name ?? String(seat)}`;
  const inEffect = (seat: number, name: string): void => {
    tell({ level: 'info', what: `Plays by the rules ${name} now`, where: where(seat) });
  };

  function choose(seat: number, index: number): void {
    const choice = seats[seat]?.choices[index];
    if (!choice) return;
    chosen.set(seat, index);
    service.swap(seat, { rules: choice.rules });
    inEffect(seat, choice.name);
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
      tell({
        level: 'warn',
        what: `A program change asks for rule set ${String(number)}, and there ${count === 1 ? 'is 1' : `are ${String(count)}`}`,
        where: where(seat),
        next: 'List the rule sets under "switch:" of the seat in the room file',
      });
    },
    async named(seat, name) {
      const listed = seats[seat]?.choices.findIndex((choice) => choice.name === name) ?? -1;
      if (listed >= 0) {
        choose(seat, listed);
        return;
      }
      try {
        const rules = await (load ?? loadRules)(name, folder);
        chosen.delete(seat);
        service.swap(seat, { rules });
        inEffect(seat, name);
      } catch (error) {
        if (!(error instanceof FileFault)) throw error;
        tell({
          level: 'warn',
          what: `The rules "${name}" cannot be used: ${error.message.replace(/\s+/g, ' ')}`,
          where: where(seat),
          next: 'It plays on by the rules it had',
        });
      }
    },
    update(now) {
      const before = seats;
      seats = now;
      for (const [seat, index] of chosen) {
        const was = before[seat]?.choices[index];
        const is = now[seat]?.choices[index];
        const anew = !isDeepStrictEqual(before[seat]?.rules, now[seat]?.rules);
        if (!is || anew) chosen.delete(seat);
        else if (!isDeepStrictEqual(was?.rules, is.rules)) choose(seat, index);
      }
    },
  };
}
