import { existsSync } from 'node:fs';
import { join } from 'node:path';
import type { SeatSound } from '../../engine/seat-sound.js';
import type { Ceiling } from '../../instrument/ceiling.js';
import type { PlannedSeat } from '../../ports/connect.js';
import type { Tell } from '../../ports/contracts.js';
import { diskNotice, roomBytesAnHour } from '../../ports/takes/disk-use.js';
import { missingWords, type RecordingFolder } from '../../ports/takes/recordings.js';
import type { RoomRecorder } from '../../ports/takes/room-recorder.js';
import type { SoundFileOptions } from '../../ports/takes/sound-file.js';
import { tellWritten } from '../../ports/sound/written-words.js';
import { TakeFileFault } from '../../ports/files/fault.js';

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
  const files = await recorder.close();
  const wav = join(directory, 'room.wav');
  tell({ level: 'info', what: `Writing the sound to ${wav}` });
  const options = { seats, seed: 1, soundfont: null, ceiling, tell };
  const all = [...files, { path: wav, fault: await soundFault(recorder, wav, options) }];
  const whole = all.flatMap(({ path, fault }) => (fault ? [] : [path]));
  const there = whole.filter((path) => existsSync(path));
  if (there.length > 0) tell({ level: 'info', what: `Kept: ${there.join(', ')}` });
  const faults = all.flatMap(({ fault }) => fault?.message ?? []);
  const missing = missingWords(whole);
  if (faults.length === 0 && missing === null) return;
  const rest = faults.length > 0 ? '. Not all that was played is in it' : '';
  throw new TakeFileFault(
    `${[...faults, missing].filter((one) => one !== null).join('; ')}${rest}`,
  );
}

async function soundFault(
  recorder: Pick<RoomRecorder, 'sound'>,
  wav: string,
  options: SoundFileOptions,
): Promise<TakeFileFault | null> {
  try {
    tellWritten(await recorder.sound(wav, options), wav, options.tell);
    return null;
  } catch (error) {
    if (error instanceof TakeFileFault) return error;
    throw error;
  }
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
