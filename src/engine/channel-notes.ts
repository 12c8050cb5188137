import type { Channels, ChannelPlan, UsedChannel } from './channels.js';
import { PERCUSSION } from './midi-bytes.js';
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
  seats: readonly (SeatSound | null)[],
  mode: Channels,
  plan: Omit<ChannelPlan, 'notes'>,
): PlanNote[] {
  const notes = plan.used.flatMap((used) => describeSharing(seats, used));
  if (mode === 'seat') return notes;

  for (const [seat, { apart, strings }] of plan.seats.entries()) {
    if (!apart && strings.length > 1) notes.push(oneForAll(nameOf(seats, seat), strings));
  }
  if (!plan.mono && plan.seats.some(({ apart }) => apart)) notes.push(NOT_MONO);
  return notes;
}

function oneForAll(name: string, strings: readonly number[]): PlanNote {
  const count = String(strings.length);
  return {
    level: 'warn',
    what: `The ${count} strings of ${name} share MIDI channel ${String(strings[0]! + 1)}, since no ${count} channels side by side are left`,
    where: WHERE,
    next: 'Its slurs pluck again; use fewer seats on this port, or a second port',
  };
}

const NOT_MONO: PlanNote = {
  level: 'info',
  what: 'The receiver is not put into mono mode, since it knows that for one seat only',
  where: WHERE,
  next: 'Where slurs should not pluck again, switch the channels of each string to mono in the receiver',
};

/** A seat as it plays on its channels. */
export interface PlacedSeat {
  readonly name: string;
  readonly sound: number;
  readonly pan: number;
  readonly channels: readonly number[];
  readonly apart: boolean;
}

/**
 * A seat that has joined, and got less than was asked for.
 *
 * @param others who play on its channel too
 * @param program what sounds on that channel
 * @param wasMono the receiver leaves MIDI mode 4 for it
 */
export function describeJoin(
  seat: PlacedSeat,
  others: readonly PlacedSeat[],
  { mode, program, wasMono }: { mode: Channels; program: number; wasMono: boolean },
): PlanNote[] {
  const notes: PlanNote[] = [];
  const [channel] = seat.channels;
  const drums = channel === PERCUSSION;
  if (others.length > 0) {
    const number = String(channel! + 1);
    const sounds = seat.sound !== program;
    const places = others.some(({ pan }) => pan !== seat.pan);
    const lost = [
      ...(sounds ? [`it sounds with their ${drums ? 'drum kit' : 'sound'}`] : []),
      ...(places ? ['all of them come from the middle'] : []),
    ];
    const names = list(others.map(({ name }) => `"${name}"`));
    if (!drums || lost.length > 0) {
      notes.push({
        level: lost.length > 0 ? 'warn' : 'info',
        what: `"${seat.name}" shares MIDI channel ${number} with ${names}, ${drums ? 'the only one for percussion' : 'since no other one is free'}`,
        where: WHERE,
        next: `${capital([...lost, 'each keeps its own level by the velocity of its notes'].join('; '))}; use fewer seats on this port, or a second port`,
      });
    }
  }
  const { channels } = seat;
  if (mode === 'string' && !seat.apart && channels.length > 1) {
    notes.push(oneForAll(`"${seat.name}"`, channels));
  }
  if (wasMono) notes.push(NOT_MONO);
  return notes;
}

/** A seat whose sound was changed while people play, and that got no channel with it. */
export function describeMisfit({ name, sound, channels }: PlacedSeat): PlanNote {
  const channel = channels[0]!;
  return {
    level: 'warn',
    what: `"${name}" cannot have the sound ${String(sound)}, since others with another one play on MIDI channel ${String(channel + 1)} too and no channel is free`,
    where: WHERE,
    next: 'It sounds as they do; give it a sound that another seat has, or a second port',
  };
}

function describeSharing(
  seats: readonly (SeatSound | null)[],
  { channel, seats: sharers, sound }: UsedChannel,
): PlanNote[] {
  const [first, ...others] = sharers;
  if (first === undefined || others.length === 0) return [];
  const sounds = sharers.some((seat) => seats[seat]!.sound !== sound);
  const places = sharers.some((seat) => seats[seat]!.pan !== seats[first]!.pan);
  const number = String(channel + 1);
  const leader = nameOf(seats, first);
  const rest = list(others.map((seat) => nameOf(seats, seat)));
  const drums = channel === PERCUSSION;
  const lost = [
    ...(sounds ? [`all of them sound with the ${drums ? 'drum kit' : 'sound'} of ${leader}`] : []),
    ...(places ? ['all of them come from the middle'] : []),
  ];
  // Drum pads share their channel in every room: only what they lose by it is worth a word.
  if (drums && lost.length === 0) return [];
  const kept = 'each keeps its own level by the velocity of its notes';
  return [
    {
      level: lost.length > 0 ? 'warn' : 'info',
      what: drums
        ? `${rest} and ${leader} play together on MIDI channel ${number}, the only one for percussion`
        : `${rest} must share MIDI channel ${number} with ${leader}`,
      where: WHERE,
      next: `${capital([...lost, kept].join('; '))}; use fewer seats on this port, or a second port`,
    },
  ];
}

function nameOf(seats: readonly (SeatSound | null)[], seat: number): string {
  return `"${seats[seat]!.name}"`;
}

function capital(text: string): string {
  return text.charAt(0).toUpperCase() + text.slice(1);
}

function list(names: readonly string[]): string {
  if (names.length < 2) return names.join('');
  return `${names.slice(0, -1).join(', ')} and ${names.at(-1)!}`;
}
