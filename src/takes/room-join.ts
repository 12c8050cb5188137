import * as z from 'zod';
import { FileFault, problemWhat } from '../instrument/fault.js';
import { misfit } from '../instrument/fits.js';
import { parseBuild } from '../instrument/build.js';
import { padCount, parseInstrument } from '../instrument/instrument.js';
import { parseRules } from '../instrument/rules.js';
import { foundWords } from '../instrument/words.js';
import type { Join } from '../pipeline.js';
import type { Leave } from '../room/seating.js';
import type { Micros } from '../time/micros.js';
import { MOST_SEATS, takeSeat, type RoomTakeSeat } from './room-header.js';
import type { TakeSeats } from './room-seats.js';
import { MOST_INPUTS } from './take.js';

const joining = takeSeat.extend({
  slot: z
    .int()
    .min(0)
    .max(MOST_SEATS - 1),
});
const FILE = 'the take';

/**
 * Reads what a line says of a seat that joined, with its instrument, build and rules whole, and has it take
 * its place. A string is what is wrong with it.
 */
export function parseJoin(t: Micros, value: unknown, seats: TakeSeats): Join | string {
  const { success, data, error } = joining.safeParse(value);
  if (!success) {
    const [issue] = error.issues;
    const key = ['join', ...(issue?.path ?? [])].join('.');
    return `who joined cannot be read: ${key}: ${issue?.message ?? 'unknown'}`;
  }
  const { slot, ...of } = data;
  const wrong = misplaced(slot, of, seats);
  if (wrong !== null) return wrong;
  const plan = planOf(of);
  if (typeof plan === 'string') return plan;
  seats.join(slot, of);
  const { level, pan, mute, solo, lead } = of;
  const sound = of.sound ?? plan.instrument.sound;
  const mix = { level, pan, mute, solo, lead, sound };
  return { type: 'join', t, seat: slot, name: of.name, plan, mix };
}

function misplaced(slot: number, of: RoomTakeSeat, seats: TakeSeats): string | null {
  const there = seats.at(slot);
  if (there) return `${foundWords(of.name)} joined where ${there.name} plays`;
  if (seats.slotOf(of.name) >= 0) return `${foundWords(of.name)} joined, and plays already`;
  if (of.first + of.inputs > MOST_INPUTS) return `${foundWords(of.name)} has too many inputs`;
  const other = seats.overlapping(of);
  return other ? `${foundWords(of.name)} joined with inputs of ${other.name}` : null;
}

function planOf({ instrument, build, rules, ...of }: RoomTakeSeat): Join['plan'] | string {
  const whole = (part: unknown): part is object => typeof part === 'object' && part !== null;
  if (!whole(instrument) || !whole(rules) || (build !== null && !whole(build))) {
    return `${foundWords(of.name)} joined, and its files are not in the take`;
  }
  try {
    const read = <Value>(part: object, parse: (text: string, file: string) => Value): Value =>
      parse(JSON.stringify(part), FILE);
    const own = {
      instrument: read(instrument, parseInstrument),
      build: build && read(build, parseBuild),
      rules: read(rules, parseRules),
    };
    if (own.rules.logic?.code === null) {
      return 'its rules name a module by its path and do not carry it';
    }
    const wrong = own.build && misfit(own.instrument, own.build);
    if (wrong) return `the build of ${foundWords(of.name)} does not fit its instrument`;
    return {
      instrument: own.instrument,
      rules: own.rules,
      made: of.made,
      pads: {
        pads: padCount(own.instrument),
        build: own.build,
        full: of.full,
        decided: of.decided,
      },
    };
  } catch (error) {
    if (!(error instanceof FileFault)) throw error;
    const [first] = error.problems;
    return `the files of ${foundWords(of.name)} cannot be read${first ? `: ${problemWhat(first)}` : ''}`;
  }
}

/** Reads that a seat left, and gives its place back. A string is what is wrong with it. */
export function parseLeave(t: Micros, name: unknown, seats: TakeSeats): Leave | string {
  const seat = seats.slotOf(name);
  if (seat < 0) return seats.which(name);
  seats.leave(seat);
  return { type: 'leave', t, seat };
}

/** One line of a room's take, without its line end. */
export function formatJoin(t: Micros, slot: number, seat: RoomTakeSeat): string {
  return JSON.stringify({ t, join: { slot, ...seat } });
}
