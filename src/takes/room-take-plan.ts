import { soundOf, type SeatSound } from '../engine/seat-sound.js';
import type { Join, SeatPlan } from '../pipeline.js';
import type { RoomPlan } from '../room/plan.js';
import type { RoomTake } from './room-take.js';
import type { TakeHeader } from './take.js';

/** A room's take with all that it takes to run it again. */
export interface PlannedRoomTake {
  /** Who joins in it does so by the plan that is asked for. */
  readonly take: RoomTake;
  readonly names: readonly string[];
  readonly seats: readonly SeatPlan[];
  readonly room: RoomPlan;
  readonly sounds: readonly SeatSound[];
}

/**
 * How a room's take is to be played.
 *
 * @param planSeat how one of its seats is, by the header of its part and its name
 * @param sameRules all play by the rules of the first one, as was asked for
 */
export async function planRoomTakeBy(
  take: RoomTake,
  planSeat: (header: TakeHeader, name: string) => Promise<SeatPlan>,
  sameRules = false,
): Promise<PlannedRoomTake> {
  const { seats: own, voices, scale, duck } = take.header.room;
  const seats: SeatPlan[] = [];
  for (const [i, { name }] of own.entries()) seats.push(await planSeat(take.seat(i).header, name));
  const sounds = own.map((seat, i) => soundOf(seat, seats[i]!.instrument));
  const mixes = own.map(({ level, pan, mute, solo, lead }, i) => ({
    level,
    pan,
    mute,
    solo,
    lead,
    sound: sounds[i]!.sound,
  }));
  const names = own.map(({ name }) => name);
  const room = { mixes, voices, scale, duck };
  return { take: joining(take, seats, sameRules), names, seats, sounds, room };
}

function joining(take: RoomTake, seats: readonly SeatPlan[], sameRules: boolean): RoomTake {
  const { logic, rules } = seats[0]!;
  const planned = (event: Join): Join => {
    const plan = { ...event.plan, ...(logic && { logic }), ...(sameRules && { rules }) };
    return { ...event, plan };
  };
  return {
    ...take,
    async *events(report) {
      for await (const batch of take.events(report)) {
        yield batch.map((event) => (event.type === 'join' ? planned(event) : event));
      }
    },
  };
}
