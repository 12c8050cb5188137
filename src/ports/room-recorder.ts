import { join } from 'node:path';
import { formatNote } from '../takes/notes.js';
import type { Change } from '../room/change.js';
import type { RoomPlan } from '../room/plan.js';
import type { VoiceEvent } from '../room/voice.js';
import type { Seated } from '../time/alongside.js';
import type { WireEvent } from '../wire/scan.js';
import type { PlannedSeat } from './connect.js';
import { renderSound, type RenderedSound, type SoundFileOptions } from './sound-file.js';
import { openLines, recordTake, type TakeFileFault } from './take-file.js';
import { takeHeader } from './take-plan.js';
import { recordRoomTake } from './take-room.js';

/** Keeps what is played. */
export interface RoomRecorder {
  reading(event: Seated<WireEvent>): void;
  change(change: Change): void;
  voice(event: VoiceEvent): void;
  /** Resolves as soon as one of the files could not be written; the others go on. */
  readonly failed: Promise<TakeFileFault>;
  /**
   * Ends the files and gives their paths.
   *
   * @throws TakeFileFault where one could not be written; the others are ended all the same
   */
  close(): Promise<string[]>;
  /** A WAV of all that was played. */
  sound(options: SoundFileOptions): Promise<RenderedSound>;
}

const ROOM_TAKE = 'room.take.jsonl';

/**
 * Seats' names as parts of file names: each its own, also on a disk that ignores case, and none that
 * of the whole room's take.
 */
export function fileNames(seats: readonly string[]): string[] {
  const taken = new Set(['room']);
  return seats.map((seat) => {
    const plain = seat.replace(/[^\p{L}\p{N}_-]+/gu, '-');
    let name = plain;
    for (let n = 2; taken.has(name.toLowerCase()); n++) name = `${plain}-${String(n)}`;
    taken.add(name.toLowerCase());
    return name;
  });
}

/**
 * Begins to keep a room in a folder: SEAT.take.jsonl for each seat, room.take.jsonl of all of them
 * together, and notes.jsonl.
 *
 * @param room as it is at the start
 * @throws TakeFileFault where the folder cannot be written to
 */
export function recordRoom(
  directory: string,
  seats: readonly PlannedSeat[],
  room: RoomPlan,
): RoomRecorder {
  const names = seats.map(({ ready }) => ready.seat.name);
  const files = fileNames(names);
  const takes = seats.map(({ ready, plan }, i) => {
    const path = join(directory, `${files[i]!}.take.jsonl`);
    return recordTake(path, takeHeader(ready.seat.name, plan, ready.seat.rules));
  });
  const whole = recordRoomTake(join(directory, ROOM_TAKE), seats, room);
  const notes = openLines(join(directory, 'notes.jsonl'));
  const played: VoiceEvent[] = [];
  const all = [...takes, whole];
  return {
    failed: Promise.race([...all, notes].map((file) => file.failed)),
    reading: (event) => {
      takes[event.seat]?.record(event.event);
      whole.record(event);
    },
    change: whole.record,
    voice: (event) => {
      played.push(event);
      const line = formatNote(event, names);
      if (line !== null) notes.write(line);
    },
    close: async () => {
      const closed = await Promise.allSettled([...all, notes].map((file) => file.close()));
      const failed = closed.find((one) => one.status === 'rejected');
      if (failed) throw failed.reason;
      return [...all.map(({ path }) => path), notes.path];
    },
    sound: (options) => renderSound(played, options),
  };
}
