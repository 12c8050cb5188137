import { join } from 'node:path';
import type { Join, SeatPlan } from '../../pipeline.js';
import type { Leave } from '../../room/seating.js';
import { noteLines } from '../../takes/notes.js';
import type { Change } from '../../room/change.js';
import type { RoomPlan } from '../../room/plan.js';
import type { VoiceEvent } from '../../room/voice.js';
import type { Seated } from '../../time/alongside.js';
import type { Micros } from '../../time/micros.js';
import type { WireEvent } from '../../wire/scan.js';
import type { PlannedSeat } from '../connect.js';
import { openSound, type SoundFileOptions, type WrittenSound } from './sound-file.js';
import { TakeFileFault } from '../files/fault.js';
import { openLines, recordTake, type TakeRecorder } from './file.js';
import { takeHeader } from './plan.js';
import { recordRoomTake } from './room.js';
import { openSpool } from './voice-spool.js';

/** Keeps what is played. */
export interface RoomRecorder {
  reading(event: Seated<WireEvent>): void;
  change(change: Change): void;
  /**
   * Who joins has a take from then on, and who leaves has its own ended. A seat that comes back has another
   * take: what it plays, and by what, may be something else.
   */
  seating(event: Join | Leave): void;
  voice(event: VoiceEvent): void;
  /** Resolves as soon as one of the files could not be written; the others go on. */
  readonly failed: Promise<TakeFileFault>;
  /** Ends the files. It never rejects: one that could not be written is no reason to lose the others. */
  close(): Promise<readonly KeptFile[]>;
  /**
   * Writes a WAV of all that was played; nothing more is kept then.
   *
   * @throws TakeFileFault where it could not be written
   */
  sound(path: string, options: SoundFileOptions): Promise<WrittenSound>;
}

/** A file of a recording. */
export interface KeptFile {
  readonly path: string;
  /** Why it is not whole; null: it is. */
  readonly fault: TakeFileFault | null;
}

const ROOM_TAKE = 'room.take.jsonl';

async function ending(file: { readonly path: string; close(): Promise<void> }): Promise<KeptFile> {
  try {
    await file.close();
    return { path: file.path, fault: null };
  } catch (error) {
    if (!(error instanceof TakeFileFault)) throw error;
    return { path: file.path, fault: error };
  }
}

/**
 * Seats' names as parts of file names: each its own, also on a disk that ignores case, and none that
 * of the whole room's take.
 */
export function fileNames(seats: readonly string[]): string[] {
  return seats.map(fileNaming());
}

/** The same, one after another: a name that comes again is another part. */
function fileNaming(): (seat: string) => string {
  const taken = new Set(['room']);
  return (seat) => {
    const plain = seat.replace(/[^\p{L}\p{N}_-]+/gu, '-');
    let name = plain;
    for (let n = 2; taken.has(name.toLowerCase()); n++) name = `${plain}-${String(n)}`;
    taken.add(name.toLowerCase());
    return name;
  };
}

/**
 * Begins to keep a room in a folder: SEAT.take.jsonl for each seat, room.take.jsonl of all of them
 * together, and notes.jsonl. A seat that joins later has its own take from then on.
 *
 * @param room as it is at the start
 * @throws TakeFileFault where the folder cannot be written to
 */
export function recordRoom(
  directory: string,
  seats: readonly PlannedSeat[],
  room: RoomPlan,
): RoomRecorder {
  const naming = fileNaming();
  /** By slot, the take of whoever plays there. */
  const takes = new Map<number, TakeRecorder>();
  /** Those that have ended, or are ending. */
  const ended: Promise<KeptFile>[] = [];
  let fail: (fault: TakeFileFault) => void = () => undefined;
  const failed = new Promise<TakeFileFault>((resolve) => (fail = resolve));

  function begin(slot: number, name: string, plan: SeatPlan, rules: string | null): void {
    const take = recordTake(
      join(directory, `${naming(name)}.take.jsonl`),
      takeHeader(name, plan, rules),
    );
    void take.failed.then(fail);
    takes.set(slot, take);
  }

  function end(slot: number, t: Micros): void {
    const take = takes.get(slot);
    if (!take) return;
    takes.delete(slot);
    take.record({ type: 'reset', t, why: 'end' });
    // `failed` tells of what is wrong with it now, and `close` at the end.
    ended.push(ending(take));
  }

  for (const [slot, { ready, plan }] of seats.entries()) {
    begin(slot, ready.seat.name, plan, ready.seat.rules);
  }
  const whole = recordRoomTake(join(directory, ROOM_TAKE), seats, room);
  const notes = openLines(join(directory, 'notes.jsonl'));
  for (const file of [whole, notes]) void file.failed.then(fail);
  const lineOf = noteLines(seats.map(({ ready }) => ready.seat.name));
  const played = openSpool(directory);
  return {
    failed,
    reading: (event) => {
      takes.get(event.seat)?.record(event.event);
      whole.record(event);
    },
    change: whole.record,
    seating: (event) => {
      whole.record(event);
      end(event.seat, event.t);
      if (event.type === 'leave') return;
      try {
        begin(event.seat, event.name, event.plan, null);
      } catch (error) {
        if (!(error instanceof TakeFileFault)) throw error;
        fail(error);
      }
    },
    voice: (event) => {
      played.write(event);
      const line = lineOf(event);
      if (line !== null) notes.write(line);
    },
    close: () => Promise.all([...ended, ...[...takes.values(), whole, notes].map(ending)]),
    sound: async (path, options) => {
      try {
        const file = await openSound(path, options);
        for await (const batch of played.read()) await file.play(batch);
        return await file.close();
      } finally {
        await played.remove();
      }
    },
  };
}
