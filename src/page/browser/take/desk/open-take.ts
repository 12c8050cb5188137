import type { Rules } from '../../../../instrument/types.js';
import type { SeatPlan } from '../../../../pipeline.js';
import type { RoomPlan } from '../../../../room/plan.js';
import { plainRoom } from '../../../../room/plan.js';
import { openTake, type Take } from '../../../../takes/read.js';
import { isRoomTake } from '../../../../takes/room-header.js';
import { ReadingLimit } from '../../../../takes/limits.js';
import { seatedBatches } from '../../../../takes/rerun.js';
import type { RoomTakeEvent } from '../../../../takes/room-line.js';
import { openRoomTake, type RoomTake } from '../../../../takes/room-take.js';
import { planRoomTakeBy } from '../../../../takes/room-take-plan.js';
import type { TakeHeader, TakeProblem } from '../../../../takes/take.js';
import { planTakeBy, type TakeFiles } from '../../../../takes/take-plan.js';
import type { WireEvent } from '../../../../wire/scan.js';
import type { By, Note, Opened } from './messages.js';
import { rulesOfValues } from './tried-rules.js';
import type { Unpacked } from './unpack.js';

/** A take in memory, read once, with all that it takes to run any seat of it. */
export interface TakeOnDesk {
  readonly opened: Opened;
  readonly events: readonly RoomTakeEvent[];
  /** null: of one seat only. */
  readonly room: RoomTake | null;
  readonly header: TakeHeader;
}

/** @throws NotATake, TakeTooLong, or FileFault where the header of a room's take is wrong */
export async function takeOnDesk(name: string, { text, cut }: Unpacked): Promise<TakeOnDesk> {
  const take = await openTake(text);
  let first: TakeProblem | null = null;
  let count = 0;
  const report = (problem: TakeProblem): void => {
    first ??= problem;
    count += 1;
  };
  const room = isRoomTake(take.header) ? openRoomTake(take, name) : null;
  const events: RoomTakeEvent[] = [];
  const limit = new ReadingLimit('this page');
  for await (const batch of room ? room.events(report) : seatedBatches(take.events(report), 0)) {
    for (const event of batch) {
      if (event.type === 'seated') limit.hold(event.event);
      events.push(event);
    }
  }
  const notes: Note[] = cut() ? [{ kind: 'cut-gzip' }] : [];
  if (first) notes.push({ kind: 'lines', of: 'take', count, ...(first as TakeProblem) });
  return {
    events,
    room,
    header: take.header,
    opened: {
      name,
      room: room !== null,
      notes,
      seats: room
        ? room.header.room.seats.map((seat) => ({ name: seat.name, rules: rulesName(seat.rules) }))
        : [{ name: nameIn(take.header.seat), rules: rulesName(take.header.rules ?? 'plain') }],
      length: events.at(-1)?.t ?? 0,
      scans: events.reduce((count, one) => count + (isScan(one) ? 1 : 0), 0),
    },
  };
}

const isScan = (one: RoomTakeEvent): boolean => one.type === 'seated' && one.event.type === 'scan';

const nameIn = (value: unknown): string | null => (typeof value === 'string' ? value : null);

function rulesName(rules: unknown): string | null {
  return nameIn(rules) ?? nameIn((rules as { name?: unknown } | null)?.name);
}

/** What one seat brought. */
export function ownEvents({ events }: TakeOnDesk, seat: number): WireEvent[] {
  return events.flatMap((one) => (one.type === 'seated' && one.seat === seat ? [one.event] : []));
}

/** The same as a take of its own. */
export function ownTake(desk: TakeOnDesk, seat: number, events: readonly WireEvent[]): Take {
  const header = desk.room ? desk.room.seat(seat).header : desk.header;
  return {
    header,
    async *events() {
      yield await Promise.resolve(events);
    },
  };
}

/** How one seat is to be played. */
export async function seatPlan(
  desk: TakeOnDesk,
  seat: number,
  by: By,
  files: TakeFiles,
): Promise<SeatPlan> {
  const header = desk.room ? desk.room.seat(seat).header : desk.header;
  const plan = await planTakeBy(desk.opened.name, headerBy(header, by), files, insteadBy(by));
  return by.by === 'tried' ? { ...plan, rules: triedRules(by) } : plan;
}

/** How all of it is to be played, by other rules for all seats where others are asked for. */
export async function wholePlan(
  desk: TakeOnDesk,
  by: By,
  files: TakeFiles,
): Promise<{ seats: readonly SeatPlan[]; room: RoomPlan; names: readonly string[] }> {
  if (!desk.room) {
    return { seats: [await seatPlan(desk, 0, by, files)], room: plainRoom(1), names: ['take'] };
  }
  const { seats, room, names } = await planRoomTakeBy(desk.room, (header) =>
    planTakeBy(desk.opened.name, headerBy(header, by), files, insteadBy(by)),
  );
  const others = by.by === 'tried' ? triedRules(by) : null;
  return { seats: others ? seats.map((one) => ({ ...one, rules: others })) : seats, room, names };
}

const triedRules = ({ name, values }: Extract<By, { by: 'tried' }>): Rules =>
  rulesOfValues(name, values);

const insteadBy = (by: By): { rules?: string } => (by.by === 'file' ? { rules: by.name } : {});

/** What the take was played by may be gone; it is not looked for where others are tried. */
function headerBy(header: TakeHeader, by: By): TakeHeader {
  return by.by === 'tried' ? { ...header, rules: {} } : header;
}
