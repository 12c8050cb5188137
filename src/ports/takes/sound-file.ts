import { mkdirSync } from 'node:fs';
import { open, type FileHandle } from 'node:fs/promises';
import { dirname } from 'node:path';
import { OfflineRenderer, type Chunk } from '../../engine/builtin/offline.js';
import type { Loudness } from '../../engine/builtin/output.js';
import { GapShortener, type Shortened } from '../../engine/long-gaps.js';
import type { SeatSound } from '../../engine/seat-sound.js';
import { MOST_WAV_FRAMES, WavData, wavHeader } from '../../engine/wav.js';
import { CLASS_CEILING, type Ceiling } from '../../instrument/ceiling.js';
import type { VoiceEvent } from '../../room/voice.js';
import type { Tell } from '../contracts.js';
import { readSoundFont } from '../sound/soundfont-file.js';
import { fileTrouble, TakeFileFault } from '../files/fault.js';

const SAMPLE_RATE = 48_000;
/** Long enough for a damped string to be silent. */
const TAIL_SECONDS = 0.5;

export interface SoundFileOptions {
  readonly seats: readonly SeatSound[];
  readonly seed: number;
  /** Path of a SoundFont; null: our own voices. */
  readonly soundfont: string | null;
  /** What the sound keeps to; left out: what is sensible for a class. */
  readonly ceiling?: Ceiling;
  readonly tell: Tell;
}

/** A WAV that was written. */
export interface WrittenSound {
  readonly loudness: Loudness | null;
  /** Where nothing happened for long, which is left out. */
  readonly shortened: Shortened;
  /** False where the format's 4 GiB were full before the end. */
  readonly whole: boolean;
}

/** A WAV while it is written. */
export interface SoundFile {
  /** Takes what was played next, in the order of time. */
  play(events: Iterable<VoiceEvent>): Promise<void>;
  /** Writes the rest. */
  close(): Promise<WrittenSound>;
}

/**
 * Begins a WAV of what the built-in engine makes of voices (16 bits, stereo, 48 kHz), and its folder
 * where there is none; the same voices give the same bytes. It is written as the voices come, so that it
 * takes no more memory however long it is. A SoundFont that cannot be read is reported, and our own voices
 * are used.
 *
 * All of this rejects with TakeFileFault where it cannot be written.
 */
export async function openSound(
  path: string,
  { seats, seed, soundfont, ceiling = CLASS_CEILING, tell }: SoundFileOptions,
): Promise<SoundFile> {
  const synth =
    soundfont === null
      ? undefined
      : await readSoundFont(soundfont, { sampleRate: SAMPLE_RATE, seats }, tell);
  let loudness: Loudness | null = null;
  const renderer = new OfflineRenderer({
    sampleRate: SAMPLE_RATE,
    seed,
    seats,
    ceiling,
    tailSeconds: TAIL_SECONDS,
    onLoudness: (heard) => {
      loudness = heard;
    },
    ...(synth ? { synth } : {}),
  });
  const gaps = new GapShortener();
  const data = new WavData(seed);
  let whole = true;
  const file = await guarded(path, async () => {
    mkdirSync(dirname(path), { recursive: true });
    const opened = await open(path, 'w');
    // How many frames there are is known at the end.
    await opened.write(wavHeader(0, SAMPLE_RATE));
    return opened;
  });

  async function write(chunks: Iterable<Chunk>): Promise<void> {
    for (const chunk of chunks) {
      const left = MOST_WAV_FRAMES - data.frames;
      if (chunk.left.length > left) whole = false;
      if (left === 0) return;
      const { length } = chunk.left;
      const part = length <= left ? chunk : cut(chunk, left);
      await writeAll(file, data.bytes(part));
    }
  }

  return {
    play: (events) =>
      guarded(path, async () => {
        for (const event of events) {
          if (!whole) return;
          await write(renderer.play(gaps.next(event)));
        }
      }),
    close: () =>
      guarded(path, async () => {
        try {
          if (whole) await write(renderer.end());
          const header = wavHeader(data.frames, SAMPLE_RATE);
          await file.write(header, 0, header.length, 0);
        } finally {
          await file.close();
        }
        return { loudness, whole, shortened: gaps.shortened };
      }),
  };
}

function cut({ left, right }: Chunk, length: number): Chunk {
  return { left: left.subarray(0, length), right: right.subarray(0, length) };
}

/** The system may write less than it was given. */
async function writeAll(file: FileHandle, bytes: Uint8Array): Promise<void> {
  for (let at = 0; at < bytes.length;) {
    at += (await file.write(bytes, at)).bytesWritten;
  }
}

async function guarded<Value>(path: string, work: () => Promise<Value>): Promise<Value> {
  try {
    return await work();
  } catch (error) {
    throw new TakeFileFault(`${path}: ${fileTrouble(error)}`);
  }
}
