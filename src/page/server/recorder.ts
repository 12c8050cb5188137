import { existsSync } from 'node:fs';
import { basename, join } from 'node:path';
import type { Notice } from '../../ports/contracts.js';
import { shown } from '../../ports/files/find.js';
import { diskNotice, takeBytesAnHour } from '../../ports/takes/disk-use.js';
import { missingWords } from '../../ports/takes/recordings.js';
import { fileNames } from '../../ports/takes/room-recorder.js';
import { recordTake } from '../../ports/takes/file.js';
import { takeHeader } from '../../ports/takes/plan.js';
import { recordRoomTake } from '../../ports/takes/room.js';
import type { RoomPlan, SeatMix } from '../../room/plan.js';
import type { RoomTakeEvent } from '../../takes/room-line.js';
import { rulesAsWritten } from '../../takes/rules-written.js';
import type { ThreadSeat } from '../host/messages.js';
import type { PageRecording } from '../link/state.js';

/** A seat as it is when a recording begins. */
export interface RecordedSeat extends Pick<ThreadSeat, 'id' | 'slot' | 'name' | 'plan'> {
  readonly mix: SeatMix;
}

/** The room as it is when a recording begins. */
export interface RecordedRoom {
  readonly seats: readonly RecordedSeat[];
  readonly shared: Omit<RoomPlan, 'mixes'>;
  /** Who has a slot now. */
  readonly at: (slot: number) => RecordedSeat | undefined;
}

interface Open {
  /** Nothing more is asked for: what is on its way comes, and then it ends. */
  ending: boolean;
  /** The time of what came last, in µs. */
  last: number;
  /** The seat that it is of alone; null: the whole room. */
  readonly seat: RecordedSeat | null;
  /** By slot, the names of the seats that are in it now. */
  readonly seats: Map<number, string>;
  /** Who has a slot now, whether or not they are in it. */
  readonly at: RecordedRoom['at'];
  readonly path: string;
  readonly since: number;
  record(event: RoomTakeEvent): void;
  /** Resolves as soon as something could not be written. */
  readonly failed: Promise<unknown>;
  close(): Promise<void>;
}

/** Records takes, one at a time, whatever becomes of the page that began it. */
export class Recorder {
  readonly #folder: string | undefined;
  readonly #tell: (notice: Notice) => void;
  #open: Open | null = null;
  #closing: Promise<string | null> = Promise.resolve(null);
  #scans = 0;
  /** Slots of seats of which something was missing. */
  readonly #lost = new Set<number>();

  /** @param folder where to; undefined: nowhere, so that nothing can be recorded */
  constructor(folder: string | undefined, tell: (notice: Notice) => void) {
    this.#folder = folder;
    this.#tell = tell;
  }

  get now(): PageRecording | null {
    if (!this.#open) return null;
    const { seat, path, since } = this.#open;
    return { seat: seat?.id ?? null, file: basename(path), since, scans: this.#scans };
  }

  /** The ids of the seats whose readings are needed; null: all, and those that come later. */
  get needs(): readonly number[] | null {
    if (!this.#open || this.#open.ending) return [];
    const { seat } = this.#open;
    return seat && [seat.id];
  }

  /**
   * Begins a take of one seat, or with null of the whole room.
   *
   * @param id the seat's
   * @param at milliseconds since 1970
   * @param broken called once where no more of it can be written: `end` is to follow
   * @returns why not, in words; null where it has begun
   */
  begin(id: number | null, room: RecordedRoom, at: number, broken: () => void): string | null {
    if (this.#open) {
      return `${basename(this.#open.path)} is being recorded already. End that first.`;
    }
    if (this.#folder === undefined) {
      return 'There is no folder for takes. Start the program with one, then record.';
    }
    const index = id === null ? -1 : room.seats.findIndex((one) => one.id === id);
    const seat = room.seats[index] ?? null;
    const stem = seat ? fileNames(room.seats.map(({ name }) => name))[index]! : 'room';
    const path = freePath(join(this.#folder, `${stem}-${stamp(new Date(at))}`));
    const recorded = seat ? [seat] : room.seats;
    const seats = new Map(recorded.map((one) => [one.slot, one.name]));
    try {
      const take = seat ? openSeatTake(path, seat) : openRoomTake(path, room);
      const { at: who } = room;
      const open = { seat, seats, at: who, path, since: at, ending: false, last: 0, ...take };
      this.#open = open;
      void take.failed.then(() => {
        if (this.#open === open) broken();
      });
    } catch (error) {
      return `${(error as Error).message}. Fix that, then record again.`;
    }
    this.#scans = 0;
    this.#lost.clear();
    const bytes = recorded.reduce((sum, { plan }) => sum + takeBytesAnHour(plan), 0);
    this.#tell(diskNotice(path, this.#folder, bytes));
    return null;
  }

  /** Takes in readings and changes: their seats are slots. */
  record(events: readonly RoomTakeEvent[], lost: readonly number[]): void {
    const open = this.#open;
    if (!open) return;
    for (const slot of lost) if (open.seats.has(slot)) this.#missing(slot);
    for (const event of events) {
      if (!this.#takes(open, event)) continue;
      open.record(event);
      open.last = event.t;
      if (event.type === 'seated' && event.event.type === 'scan') this.#scans += 1;
    }
  }

  /** Whether an event belongs to the take; it follows who joins and leaves. */
  #takes({ seat, seats, at, record }: Open, event: RoomTakeEvent): boolean {
    if (event.type === 'room-change') return seat === null;
    const slot = event.seat;
    if (event.type === 'join') {
      if (seat === null) seats.set(slot, event.name);
      return seat === null;
    }
    if (event.type === 'leave') return seat === null && seats.delete(slot);
    if (seats.has(slot)) return true;
    // That it joined was lost on its way here.
    const other = seat === null ? at(slot) : undefined;
    if (!other) return false;
    const { name, plan, mix } = other;
    record({ type: 'join', t: event.t, seat: slot, name, plan, mix });
    seats.set(slot, name);
    return true;
  }

  /** A seat has left: where that was lost on its way here, a take of the room is told of it now. */
  left(slot: number): void {
    const open = this.#open;
    if (!open || open.seat || !open.seats.delete(slot)) return;
    open.record({ type: 'leave', t: open.last, seat: slot });
  }

  /** Needs no more; `end` is to follow. Returns why not, in words. */
  ending(): string | null {
    if (!this.#open || this.#open.ending) return 'Nothing is being recorded. Begin first.';
    this.#open.ending = true;
    return null;
  }

  /** Ends the take; resolves when it is on the disk. What could not be written is told, and returned. */
  end(): Promise<string | null> {
    const open = this.#open;
    if (!open) return this.#closing;
    const t = open.last;
    for (const seat of open.seats.keys()) {
      open.record({ type: 'seated', t, seat, event: { type: 'reset', t, why: 'end' } });
    }
    this.#open = null;
    return (this.#closing = this.#close(open));
  }

  async #close({ path, close }: Open): Promise<string | null> {
    const scans = this.#scans;
    try {
      await close();
      const missing = missingWords([path]);
      if (missing !== null) {
        this.#tell({ level: 'error', what: missing, next: 'Record again' });
        return `${missing}. Record again.`;
      }
      this.#tell({ level: 'info', what: `Kept ${String(scans)} scans in ${shown(path)}` });
      return null;
    } catch (error) {
      const what = `the take could not be written: ${(error as Error).message}`;
      const next = 'Make room on the disk, then record again';
      this.#tell({ level: 'error', what, where: basename(path), next });
      return `The take could not be written: ${(error as Error).message}. ${next}.`;
    }
  }

  #missing(slot: number): void {
    if (this.#lost.has(slot)) return;
    this.#lost.add(slot);
    this.#tell({
      level: 'warn',
      what: 'some readings are missing in the take that is being recorded; what was played is not',
      where: `seat ${this.#open?.seats.get(slot) ?? String(slot)}`,
      next: 'Close other programs, then record again',
    });
  }
}

type Opened = Pick<Open, 'record' | 'failed' | 'close'>;

function openRoomTake(path: string, { seats, shared }: RecordedRoom): Opened {
  const own = [...seats].sort((a, b) => a.slot - b.slot);
  const take = recordRoomTake(
    path,
    own.map(({ name, plan }) => ({ ready: { seat: { name } }, plan })),
    { ...shared, mixes: own.map(({ mix }) => mix) },
  );
  // Slots that were free as it began have no number in the take.
  const places = new Map(own.map(({ slot }, i) => [slot, i]));
  const placeOf = (slot: number): number => {
    const taken = new Set(places.values());
    let place = places.get(slot) ?? 0;
    if (!places.has(slot)) while (taken.has(place)) place += 1;
    places.set(slot, place);
    return place;
  };
  return {
    record(event) {
      if (event.type === 'room-change') take.record(event);
      else take.record({ ...event, seat: placeOf(event.seat) });
      if (event.type === 'leave') places.delete(event.seat);
    },
    failed: take.failed,
    close: () => take.close(),
  };
}

function openSeatTake(path: string, { name, plan }: RecordedSeat): Opened {
  // As they are played, not by name: they may be tried only, and never be kept.
  const header = { ...takeHeader(name, plan, ''), rules: rulesAsWritten(plan.rules) };
  const take = recordTake(path, header);
  return {
    record: (event) => {
      if (event.type === 'seated') take.record(event.event);
    },
    failed: take.failed,
    close: () => take.close(),
  };
}

/** The first name that no take has yet: an earlier recording is not to be lost. */
function freePath(stem: string): string {
  for (let n = 1; ; n++) {
    const path = `${stem}${n === 1 ? '' : `-${String(n)}`}.take.jsonl`;
    if (!existsSync(path)) return path;
  }
}

/** @example stamp(new Date(2031, 4, 6, 9, 8, 7)) // '2031-05-06-090807' */
function stamp(at: Date): string {
  const two = (value: number): string => String(value).padStart(2, '0');
  const day = [at.getFullYear(), at.getMonth() + 1, at.getDate()].map(two).join('-');
  return `${day}-${[at.getHours(), at.getMinutes(), at.getSeconds()].map(two).join('')}`;
}
