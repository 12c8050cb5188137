import { existsSync, mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { expect, it } from 'vitest';
import { endRecording } from '../../src/commands/play-kept.js';
import { CLASS_CEILING } from '../../src/instrument/ceiling.js';
import { TakeFileFault } from '../../src/ports/take-file.js';
import { renderSound } from '../../src/ports/sound-file.js';

it('a file that could not be written costs no sound, and is told in the end', async () => {
  const directory = mkdtempSync(join(tmpdir(), 'kept-'));
  const told: string[] = [];
  try {
    const recorder = {
      ...{ reading: () => undefined, change: () => undefined, voice: () => undefined },
      close: () => Promise.reject(new TakeFileFault('notes.jsonl: the disk is full')),
      sound: (options: Parameters<typeof renderSound>[1]) => renderSound([], options),
    };
    const tell = ({ what }: { readonly what: string }) => void told.push(what);
    const kept = { directory, seats: [], ceiling: CLASS_CEILING, tell };
    await expect(endRecording(recorder, kept)).rejects.toThrow('notes.jsonl: the disk is full');
    expect(existsSync(join(directory, 'room.wav'))).toBe(true);
    expect(told.filter((what) => what.startsWith('Kept'))).toEqual([]);
  } finally {
    rmSync(directory, { recursive: true });
  }
});
