import type { SeatPlan } from '../pipeline.js';
import type { RoomPlan, SeatMix } from '../room/plan.js';
import { roomHeader, type RoomTakeSeat } from '../takes/room-header.js';
import { formatRoomLine, type RoomTakeEvent } from '../takes/room-line.js';
import { rulesAsWritten } from '../takes/rules-written.js';
import { formatHeader } from '../takes/take.js';
import { openLines, withKnown, type TakeFileFault } from './take-file.js';
import { takeHeader } from './take-plan.js';

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
    ...{ voices: Math.min(voices, 512), scale: scale && [...scale], duck },
    seats: seats.map((seat, i) => headerSeat(seat, mixes[i]!)),
  });
  const lines = openLines(path);
  lines.write(formatHeader(header));
  return {
    ...{ path, failed: lines.failed },
    record: (event) => {
      const own = header.room.seats;
      const known =
        event.type === 'seated'
          ? { ...event, event: withKnown(event.event, own[event.seat]!.inputs) }
          : event;
      lines.write(formatRoomLine(known, own));
    },
    close: () => lines.close(),
  };
}

function headerSeat({ ready, plan }: RecordedSeat, mix: SeatMix): Omit<RoomTakeSeat, 'first'> {
  const { inputs, full, instrument, build = null } = takeHeader(ready.seat.name, plan, '');
  return {
    ...{ name: ready.seat.name, inputs, full },
    ...{ decided: plan.pads.decided, made: plan.made === true },
    ...(plan.pads.numbered ? { numbered: true } : {}),
    ...{ instrument: instrument as Record<string, unknown>, build: build as RoomTakeSeat['build'] },
    rules: rulesAsWritten(plan.rules),
    ...mix,
  };
}
