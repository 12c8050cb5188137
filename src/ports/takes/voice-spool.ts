import { rm } from 'node:fs/promises';
import { join } from 'node:path';
import type { VoiceEvent } from '../../room/voice.js';
import { LineCutter } from '../../takes/lines.js';
import type { Batches } from '../../takes/read.js';
import { openLines } from './file.js';
import { textOfFile } from './text.js';

/** What a room sounded, kept on the disk until its WAV is made of it: a lesson's would fill the memory. */
export interface VoiceSpool {
  write(event: VoiceEvent): void;
  /** All of it, read in pieces; nothing more is written then. */
  read(): Batches<VoiceEvent>;
  /** Takes it from the disk. */
  remove(): Promise<void>;
}

/** @throws TakeFileFault where the folder cannot be written to */
export function openSpool(directory: string): VoiceSpool {
  const path = join(directory, '.voices.part');
  const lines = openLines(path);
  return {
    write: (event) => {
      lines.write(JSON.stringify(event));
    },
    async *read() {
      // What could not be written is missing; what was is played.
      await lines.close().catch(() => undefined);
      let batch: VoiceEvent[] = [];
      const cutter = new LineCutter(
        (line, _number, whole) => {
          cutter.fruitful();
          if (whole) batch.push(JSON.parse(line) as VoiceEvent);
        },
        () => undefined,
      );
      // Somebody may have taken the whole folder away meanwhile.
      const text = await textOfFile(path).catch(() => null);
      for await (const piece of text?.() ?? []) {
        cutter.push(piece);
        yield batch;
        batch = [];
      }
    },
    remove: () => rm(path, { force: true }),
  };
}
