import { readFile } from 'node:fs/promises';
import type { SoundFontOptions } from '../../engine/builtin/soundfont.js';
import type { Synth } from '../../engine/builtin/synth.js';
import type { Tell } from '../contracts.js';

/**
 * Reads a SoundFont file for the renderer.
 *
 * @param path SF2, SF3 or DLS
 * @returns undefined where it cannot be used; that was told of then, and the own voices are to play
 */
export async function readSoundFont(
  path: string,
  options: SoundFontOptions,
  tell: Tell,
): Promise<Synth | undefined> {
  try {
    const file = await readFile(path);
    // Half a megabyte of code, which only who has a SoundFont waits for.
    const { loadSoundFont } = await import('../../engine/builtin/soundfont.js');
    return await loadSoundFont(Uint8Array.from(file).buffer, options);
  } catch (error) {
    tell({
      level: 'warn',
      what: whatWentWrong(error),
      where: path,
      next: "The built-in engine's own voices play instead. Give the path of an SF2, SF3 or DLS file",
    });
    return undefined;
  }
}

function whatWentWrong(error: unknown): string {
  const code = (error as { code?: unknown }).code;
  if (code === 'ENOENT') return 'There is no such SoundFont file';
  if (code === 'EISDIR') return 'The SoundFont is a folder, not a file';
  if (code === 'EACCES') return 'The SoundFont file may not be read';
  const why = error instanceof Error ? error.message : String(error);
  return `The file is no SoundFont that can be played (${why.replace(/\.$/, '')})`;
}
