import type { WireEvent } from '../wire/scan.js';
import type { OpenTake, Take } from './read.js';
import { parseRoomHeader, seatHeader, type RoomTakeHeader } from './room-header.js';
import { roomLines, type RoomTakeEvent } from './room-line.js';
import type { TakeProblem } from './take.js';

/** A take of a whole room in memory. */
export interface RoomTake {
  readonly header: RoomTakeHeader;
  /** All of it in the order in which it was played; a line that cannot be read is reported and passed over. */
  events(report: (problem: TakeProblem) => void): Generator<RoomTakeEvent, void>;
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

  function* eventsOf(
    index: number,
    report: (problem: TakeProblem) => void,
  ): Generator<WireEvent, void> {
    for (const event of events(report)) {
      if (event.type === 'leave' && event.seat === index) return;
      if (event.type === 'seated' && event.seat === index) yield event.event;
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
