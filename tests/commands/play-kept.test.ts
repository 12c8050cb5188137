import { existsSync, mkdirSync, mkdtempSync, rmSync, symlinkSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { dirname, join } from 'node:path';
import { afterAll, afterEach, describe, expect, it } from 'vitest';
import { endRecording } from '../../src/commands/play/kept.js';
import { CLASS_CEILING } from '../../src/instrument/ceiling.js';
import { TakeFileFault } from '../../src/ports/files/fault.js';
import { openSound } from '../../src/ports/takes/sound-file.js';
import { endPrograms, start, workFolder } from './program.js';

it('a file that could not be written costs no sound, and is told in the end', async () => {
  const directory = mkdtempSync(join(tmpdir(), 'kept-'));
  const told: string[] = [];
  try {
    const recorder = {
      close: () =>
        Promise.resolve(
          ['notes.jsonl', 'north.take.jsonl'].map((path) => {
            return { path, fault: new TakeFileFault(`${path}: the disk is full`) };
          }),
        ),
      sound: async (...asked: Parameters<typeof openSound>) => (await openSound(...asked)).close(),
    };
    const tell = ({ what }: { readonly what: string }) => void told.push(what);
    const kept = { directory, seats: [], ceiling: CLASS_CEILING, tell };
    await expect(endRecording(recorder, kept)).rejects.toThrow(
      'notes.jsonl: the disk is full; north.take.jsonl: the disk is full. Not all',
    );
    expect(existsSync(join(directory, 'room.wav'))).toBe(true);
    const wav = join(directory, 'room.wav');
    expect(told.filter((what) => what.startsWith('Kept'))).toEqual([`Kept: ${wav}`]);
  } finally {
    rmSync(directory, { recursive: true });
  }
});

it('a sound that could not be written costs no word of what was kept', async () => {
  const directory = mkdtempSync(join(tmpdir(), 'kept-'));
  const told: string[] = [];
  try {
    const notes = join(directory, 'notes.jsonl');
    writeFileSync(notes, '');
    const recorder = {
      close: () => Promise.resolve([{ path: notes, fault: null }]),
      sound: () => Promise.reject(new TakeFileFault('room.wav: the disk is full')),
    };
    const tell = ({ what }: { readonly what: string }) => void told.push(what);
    const kept = { directory, seats: [], ceiling: CLASS_CEILING, tell };
    await expect(endRecording(recorder, kept)).rejects.toThrow('room.wav: the disk is full');
    expect(told).toContain(`Kept: ${notes}`);
  } finally {
    rmSync(directory, { recursive: true });
  }
});

describe.runIf(existsSync('/dev/full'))('where the disk is full (Linux has such a file)', () => {
  const folder = workFolder();
  afterEach(endPrograms);
  afterAll(folder.remove);

  const full = (name: string): void => {
    mkdirSync(dirname(join(folder.path, name)), { recursive: true });
    symlinkSync('/dev/full', join(folder.path, name));
  };

  it('record ends', async () => {
    full('north.take.jsonl');
    const seat = '{ name: north, instrument: bass-4x4, from: { player: demo } }';
    folder.write('rooms/hall.yaml', `seats: [${seat}]\n`);
    const program = start(['record', 'hall', '--out', 'north.take.jsonl'], folder.path);
    const { code, err } = await program.ended;
    expect({ code, said: err.trimEnd().split('\n').at(-1) }).toEqual({
      code: 1,
      said: 'error: north.take.jsonl: the disk is full.',
    });
  });
});
