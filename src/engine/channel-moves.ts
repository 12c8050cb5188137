import type { ChannelMix, SeatNow } from './channel-mix.js';

type Channels = Pick<ChannelMix, 'seats' | 'programs'>;

/**
 * After a change of sounds: gives each channel the program that its seats agree on, and moves a seat
 * that wants another to a channel that has it or can have it. So a seat sounds with another's program
 * only where there are more sounds than channels. As few seats move as can be.
 */
export function resettle(mix: Channels): void {
  agree(mix);
  for (const seat of mix.seats) {
    if (!seat || seat.fixed || !misfits(mix, seat)) continue;
    const home = homeFor(mix, seat);
    if (home === undefined) continue;
    seat.channels = seat.channels.map(() => home);
    mix.programs.set(home, seat.sound);
    agree(mix);
  }
}

function misfits({ programs }: Channels, { channels, sound }: SeatNow): boolean {
  return programs.get(channels[0]!) !== sound;
}

/** The seats that play on a channel now. */
export function playersOf({ seats }: Pick<ChannelMix, 'seats'>, channel: number): SeatNow[] {
  return seats.filter((seat) => seat !== null).filter(({ channels }) => channels.includes(channel));
}

/** Channels whose seats all want one sound get it. */
function agree(mix: Channels): void {
  for (const channel of mix.programs.keys()) {
    const [first, ...others] = playersOf(mix, channel);
    if (first && others.every(({ sound }) => sound === first.sound)) {
      mix.programs.set(channel, first.sound);
    }
  }
}

/** A channel with the seat's sound, else an empty one, else one that others can leave. */
function homeFor(mix: Channels, seat: SeatNow): number | undefined {
  const shareable = [...mix.programs.keys()].filter(
    (channel) => !playersOf(mix, channel).some(({ fixed }) => fixed),
  );
  const alike = shareable.filter(
    (channel) => mix.programs.get(channel) === seat.sound && playersOf(mix, channel).length > 0,
  );
  const fewest = (a: number, b: number): number =>
    playersOf(mix, a).length - playersOf(mix, b).length;
  if (alike.length > 0) return alike.sort(fewest)[0];
  const empty = shareable.find((channel) => playersOf(mix, channel).length === 0);
  if (empty !== undefined) return empty;
  return cleared(mix, shareable, seat);
}

/** Two channels with one program: the seats of the one move to the other, which leaves it free. */
function cleared(mix: Channels, shareable: readonly number[], seat: SeatNow): number | undefined {
  const leaving = (channel: number): SeatNow[] =>
    playersOf(mix, channel).filter((one) => one !== seat);
  const program = (channel: number): number | undefined => mix.programs.get(channel);
  // Of as few movers the seat's own channel, on which it may stay.
  const cost = (channel: number): number =>
    leaving(channel).length - (seat.channels.includes(channel) ? 0.5 : 0);
  for (const channel of [...shareable].sort((a, b) => cost(a) - cost(b))) {
    const movers = leaving(channel);
    if (movers.some(({ sound }) => sound !== program(channel))) continue;
    const other = shareable.find((one) => one !== channel && program(one) === program(channel));
    if (other === undefined) continue;
    for (const mover of movers) mover.channels = mover.channels.map(() => other);
    return channel;
  }
  return undefined;
}
