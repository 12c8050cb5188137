import type { Channels, ChannelPlan } from './channels.js';
import type { SeatSound } from './seat-sound.js';

/** Something a person should know about the plan; it can be told as a notice as it is. */
export interface PlanNote {
  readonly level: 'info' | 'warn';
  readonly what: string;
  readonly where: string;
  readonly next: string;
}

const WHERE = 'MIDI channels';

/** Puts into words where the plan gives a seat less than was asked for. */
export function describePlan(
  seats: readonly SeatSound[],
  mode: Channels,
  plan: Omit<ChannelPlan, 'notes'>,
): PlanNote[] {
  const notes: PlanNote[] = [];
  const name = (seat: number): string => `"${seats[seat]!.name}"`;

  for (const {
    channel,
    seats: [first, ...others],
  } of plan.used) {
    if (first === undefined || others.length === 0) continue;
    notes.push({
      level: 'warn',
      what: `${list(others.map(name))} must share MIDI channel ${String(channel + 1)} with ${name(first)}`,
      where: WHERE,
      next: `All of them sound with the sound and the level of ${name(first)}; use fewer seats on this port, or a second port`,
    });
  }
  if (mode === 'seat') return notes;

  for (const [seat, { apart, strings }] of plan.seats.entries()) {
    if (apart) continue;
    notes.push({
      level: 'warn',
      what: `The ${String(strings.length)} strings of ${name(seat)} share MIDI channel ${String(strings[0]! + 1)}, since no ${String(strings.length)} channels side by side are left`,
      where: WHERE,
      next: 'Its slurs pluck again; use fewer seats on this port, or a second port',
    });
  }
  if (!plan.mono && plan.seats.some(({ apart }) => apart)) {
    notes.push({
      level: 'info',
      what: 'The receiver is not put into mono mode, since it knows that for one seat only',
      where: WHERE,
      next: 'Where slurs should not pluck again, switch the channels of each string to mono in the receiver',
    });
  }
  return notes;
}

function list(names: readonly string[]): string {
  if (names.length < 2) return names.join('');
  return `${names.slice(0, -1).join(', ')} and ${names.at(-1)!}`;
}
