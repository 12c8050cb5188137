import type { Notice } from '../contracts.js';
import { playsOf, type ReadySeat, type WholeRoom } from '../files/room.js';
import { endSpareLogics } from '../logic/load.js';
import { difference } from './difference.js';
import type { RoomEngines } from './engines.js';
import { roomNews } from './news.js';
import type { RoomSeats } from './seats.js';
import type { RulesChoice } from './rules-choice.js';
import type { Service } from '../service.js';

export interface PlayingRoomOptions {
  readonly folder: string;
  readonly service: Pick<Service, 'change' | 'seatAt' | 'sounds' | 'addEngine' | 'removeEngine'>;
  readonly seats: RoomSeats;
  readonly engines: Pick<RoomEngines, 'change'>;
  readonly rules: Pick<RulesChoice, 'update'>;
  /** Has the room be changed over OSC there from now on; null: nowhere. */
  readonly control: (control: WholeRoom['room']['control']) => Promise<void>;
  /** Told of the seats as the files say they are now, in their order, after that has taken effect. */
  readonly onSeats?: (seats: readonly ReadySeat[]) => void;
}

/**
 * Has a playing room be what its files say now: seats, wires, instruments, levels, engines and control.
 * Whoever is not changed plays on, and loses nothing.
 *
 * @returns see `LiveRoomOptions.apply`; it rejects, with nothing changed, where a seat's take cannot be read
 */
export function playingRoom({
  folder,
  service,
  seats,
  engines,
  rules,
  control,
  onSeats,
}: PlayingRoomOptions): (before: WholeRoom, now: WholeRoom) => Promise<readonly Notice[]> {
  return async (before, now) => {
    const by = difference(before, now);
    const changed = seats.change(by, now.seats);
    if (Object.keys(by.room).length > 0) service.change({ type: 'room-change', ...by.room });
    rules.update(seats.all);
    onSeats?.(now.seats);
    endSpareLogics([
      ...playsOf(now).map((play) => play.rules),
      ...seats.all.flatMap((_, slot) => service.seatAt(slot)?.plan.rules ?? []),
    ]);
    await engines.change(by.engines.closed, by.engines.opened, service);
    if (by.control !== undefined) await control(by.control);
    return roomNews(by, changed, now, folder);
  };
}
