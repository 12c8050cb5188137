import type { PageSeat } from '../../link/state.js';
import type { By, Opened } from './desk/messages.js';

/** By which rules, as the value of a choice: `played`, `file:NAME` or `tried:SEAT`. */
export type Choice = string;

export const PLAYED: Choice = 'played';
export const fileChoice = (name: string): Choice => `file:${name}`;
export const triedChoice = (seat: string): Choice => `tried:${seat}`;

/** What the choice stands for now; null where there is no such seat any more. */
export function byOf(choice: Choice, seats: readonly PageSeat[]): By | null {
  const name = choice.slice(choice.indexOf(':') + 1);
  if (choice.startsWith('file:')) return { by: 'file', name };
  if (!choice.startsWith('tried:')) return { by: 'played' };
  const seat = seats.find((one) => one.name === name);
  return seat ? { by: 'tried', name: seat.rules.name, values: seat.rules.values } : null;
}

/**
 * What somebody who opens a take most likely wants to compare with how it was played: what plays at
 * its seat now, else another rules file. The most likely first; never empty.
 */
export function likelyB(
  { seats }: Opened,
  seat: number,
  now: readonly PageSeat[],
  names: readonly string[],
): [Choice, ...Choice[]] {
  const { name, rules } = seats[seat] ?? { name: null, rules: null };
  const own = now.filter(
    (one) => one.name === name && (one.rules.tried.length > 0 || one.rules.name !== rules),
  );
  const others = names.filter((one) => one !== rules);
  const plain = others.filter((one) => one === 'plain');
  const all = [
    ...own.map((one) => triedChoice(one.name)),
    ...[...new Set([...plain, ...others])].map(fileChoice),
  ];
  const [first = PLAYED, ...rest] = all;
  return [first, ...rest, PLAYED];
}
