import type { WireEvent } from '../wire/scan.js';
import type { Batches, OpenTake, Report, Take } from './read.js';
import { parseRoomHeader, seatHeader, type RoomTakeHeader } from './room-header.js';
import { roomLines, type RoomTakeEvent } from './room-line.js';

/** A take of a whole room; like any other, it is read as its events are asked for. */
export interface RoomTake {
  readonly header: RoomTakeHeader;
  /** All of it in the order in which it was played; a line that cannot be read is reported and passed over. */
  events(report: Report): Batches<RoomTakeEvent>;
  /** What one seat of its header played, until it left, as a take of its own. */
  seat(index: number): Take;
}

/**
 * Opens a take of a room (see `isRoomTake`).
 *
 * @param file its name for messages
 * @throws FileFault where its header is wrong
 */
export function openRoomTake(take: OpenTake, file: string): RoomTake {
  const header = parseRoomHeader(take.header, file);
  const events: RoomTake['events'] = (report) => take.lines(roomLines(header), report);

  async function* eventsOf(
    index: number,
    report: Report,
  ): AsyncGenerator<readonly WireEvent[], void> {
    for await (const batch of events(report)) {
      const left = batch.findIndex((event) => event.type === 'leave' && event.seat === index);
      const own = batch
        .slice(0, left < 0 ? batch.length : left)
        .flatMap((event) => (event.type === 'seated' && event.seat === index ? [event.event] : []));
      if (own.length > 0) yield own;
      if (left >= 0) return;
    }
  }

  return {
    header,
    events,
    seat: (index) => ({
      header: seatHeader(header.room.seats[index]!),
      events: (report) => eventsOf(index, report),
    }),
  };
}
