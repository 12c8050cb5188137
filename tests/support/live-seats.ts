import { planSeat } from '../../src/ports/connect.js';
import type { ReadySeat, WholeRoom } from '../../src/ports/files/room.js';
import type { LiveRoomOptions } from '../../src/ports/room/live.js';
import { playingRoom } from '../../src/ports/room/playing.js';
import { mixOf } from '../../src/ports/room/difference.js';
import { roomSeats, type RoomSeatsOptions, type SeatFollower } from '../../src/ports/room/seats.js';
import type { RulesChoice } from '../../src/ports/room/rules-choice.js';

/** What a live room does to seats that play, with engines and a control that are none. */
export function liveSeats(
  { seats }: WholeRoom,
  folder: string,
  service: Pick<RoomSeatsOptions['service'], 'swap' | 'change'> &
    Partial<RoomSeatsOptions['service']>,
  others: {
    readonly rules?: Pick<RulesChoice, 'update'>;
    readonly follower?: SeatFollower;
    readonly onSeats?: (seats: readonly ReadySeat[]) => void;
  } = {},
): LiveRoomOptions['apply'] {
  const { rules = { update: () => undefined }, follower, onSeats } = others;
  const own: RoomSeatsOptions['service'] = {
    seatAt(slot) {
      const ready = seats[slot];
      return ready
        ? { name: ready.seat.name, plan: planSeat(ready).plan, mix: mixOf(ready) }
        : null;
    },
    join: () => undefined,
    leave: () => undefined,
    lose: () => undefined,
    ...service,
  };
  return playingRoom({
    folder,
    rules,
    service: {
      ...own,
      sounds: () => [],
      addEngine: () => undefined,
      removeEngine: () => Promise.resolve(),
    },
    seats: roomSeats(seats, {
      service: own,
      sources: { add: () => undefined, remove: () => undefined, refit: () => undefined },
      ...(follower && { follower }),
    }),
    engines: { change: () => Promise.resolve() },
    control: () => Promise.resolve(),
    ...(onSeats && { onSeats }),
  });
}
