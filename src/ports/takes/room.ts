import type { SeatPlan } from '../../pipeline.js';
import type { RoomPlan, SeatMix } from '../../room/plan.js';
import { roomHeader, type RoomTakeSeat } from '../../takes/room-header.js';
import { formatJoin } from '../../takes/room-join.js';
import { formatRoomLine, type RoomTakeEvent } from '../../takes/room-line.js';
import { TakeSeats } from '../../takes/room-seats.js';
import { rulesAsWritten } from '../../takes/rules-written.js';
import { formatHeader } from '../../takes/take.js';
import { type TakeFileFault } from '../files/fault.js';
import { openLines, withKnown } from './file.js';
import { takeHeader } from './plan.js';

/** What of a planned seat its take says. */
export interface RecordedSeat {
  readonly ready: { readonly seat: { readonly name: string } };
  readonly plan: SeatPlan;
}

/** A room's take while it is recorded. */
export interface RoomTakeRecorder {
  readonly path: string;
  record(event: RoomTakeEvent): void;
  /** Resolves as soon as something could not be written. */
  readonly failed: Promise<TakeFileFault>;
  close(): Promise<void>;
}

/**
 * Begins to record a whole room as one take, which carries all that is needed to run it again.
 *
 * @throws TakeFileFault where it cannot be written
 */
export function recordRoomTake(
  path: string,
  seats: readonly RecordedSeat[],
  room: RoomPlan,
): RoomTakeRecorder {
  const { mixes, voices, scale, duck } = room;
  const header = roomHeader({
    // An endless number of voices is more than any room has.
    voices: Math.min(voices, 512),
    scale: scale && [...scale],
    duck,
    seats: seats.map(({ ready, plan }, i) => headerSeat(ready.seat.name, plan, mixes[i]!)),
  });
  const lines = openLines(path);
  const playing = new TakeSeats(header.room.seats);
  lines.write(formatHeader(header));

  function record(event: RoomTakeEvent): void {
    if (event.type === 'join') {
      const { t, seat, name, plan, mix } = event;
      if (playing.at(seat)) record({ type: 'leave', t, seat });
      const own = headerSeat(name, plan, mix);
      const placed = { ...own, first: playing.room(own.inputs) };
      lines.write(formatJoin(t, seat, placed));
      playing.join(seat, placed);
      return;
    }
    // Of whoever has left, nothing is played.
    const own = 'seat' in event ? playing.at(event.seat) : null;
    if ('seat' in event && !own) return;
    const known =
      event.type === 'seated' ? { ...event, event: withKnown(event.event, own!.inputs) } : event;
    lines.write(formatRoomLine(known, playing));
    if (event.type === 'leave') playing.leave(event.seat);
  }

  return {
    path,
    failed: lines.failed,
    record,
    close: () => lines.close(),
  };
}

function headerSeat(name: string, plan: SeatPlan, mix: SeatMix): Omit<RoomTakeSeat, 'first'> {
  const { inputs, full, instrument, build = null, wiring } = takeHeader(name, plan, '');
  return {
    name,
    inputs,
    full,
    decided: plan.pads.decided,
    made: plan.made === true,
    ...(plan.pads.numbered ? { numbered: true } : {}),
    ...(wiring && { wiring: [...wiring] }),
    instrument: instrument as Record<string, unknown>,
    build: build as RoomTakeSeat['build'],
    rules: rulesAsWritten(plan.rules),
    ...mix,
  };
}
