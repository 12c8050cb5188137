import { existsSync } from 'node:fs';
import { join } from 'node:path';
import type { SeatSound } from '../engine/seat-sound.js';
import type { Ceiling } from '../instrument/ceiling.js';
import type { PlannedSeat } from '../ports/connect.js';
import type { Tell } from '../ports/contracts.js';
import { diskNotice, roomBytesAnHour } from '../ports/disk-use.js';
import { missingWords, type RecordingFolder } from '../ports/recordings.js';
import type { RoomRecorder } from '../ports/room-recorder.js';
import { tellWritten } from '../ports/sound/written-words.js';
import { TakeFileFault } from '../ports/take-file.js';

interface Kept {
  readonly directory: string;
  readonly seats: readonly SeatSound[];
  readonly ceiling: Ceiling;
  readonly tell: Tell;
}

/**
 * Ends what `play --record` kept, and writes the sound of it.
 *
 * @throws TakeFileFault where a file could not be written, or is gone in the end; all others are
 */
export async function endRecording(
  recorder: Pick<RoomRecorder, 'close' | 'sound'>,
  kept: Kept,
): Promise<void> {
  const { directory, seats, ceiling, tell } = kept;
  const closed = recorder.close();
  const files = await closed.catch(() => []);
  const wav = join(directory, 'room.wav');
  tell({ level: 'info', what: `Writing the sound to ${wav}` });
  const options = { seats, seed: 1, soundfont: null, ceiling, tell };
  tellWritten(await recorder.sound(wav, options), wav, tell);
  await closed;
  const all = [...files, wav];
  const there = all.filter((path) => existsSync(path));
  if (there.length > 0) tell({ level: 'info', what: `Kept: ${there.join(', ')}` });
  const missing = missingWords(all);
  if (missing !== null) throw new TakeFileFault(missing);
}

/** Says where a recording goes, and what it takes of the disk. */
export function tellRecording(
  { path, notice }: RecordingFolder,
  planned: readonly PlannedSeat[],
  tell: Tell,
): void {
  tell(diskNotice(path, path, roomBytesAnHour(planned.map(({ plan }) => plan))));
  if (notice) tell(notice);
}
