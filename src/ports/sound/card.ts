import { existsSync, readdirSync } from 'node:fs';
import { homedir } from 'node:os';
import { join } from 'node:path';
import { createAudioOutput } from '@echogarden/audio-io';

/** Asked for each block: fills interleaved left and right samples of 16 bits. It must not throw. */
export type Fill = (block: Int16Array) => void;

export interface Card {
  /** Lets the card go; resolves when its own thread is gone as well. */
  close(): Promise<void>;
}

/** The library's thread plays out what it has, then ends; what it still touches must live until then. */
const PLAYED_OUT_MS = 150;

/**
 * Opens the machine's default sound card.
 *
 * @param blockMs how long a block is, in ms; the card holds one to two of them
 * @throws where there is none, or it is not to be had
 */
export async function openCard(sampleRate: number, blockMs: number, fill: Fill): Promise<Card> {
  if (!mayHaveCard()) throw new Error('no sound card');
  let closed = false;
  const output = await createAudioOutput(
    { sampleRate, channelCount: 2, bufferDuration: blockMs },
    (block) => {
      if (closed) block.fill(0);
      else fill(block);
    },
  );
  return {
    async close() {
      closed = true;
      await output.dispose();
      await new Promise((resolve) => setTimeout(resolve, PLAYED_OUT_MS + 4 * blockMs));
    },
  };
}

/**
 * Whether it is worth asking. ALSA writes eight lines of its own to the terminal where nothing is there, so
 * on Linux it is asked only where a card, a sound server or a person's own settings can be seen.
 */
function mayHaveCard(): boolean {
  if (process.platform !== 'linux') return true;
  if (process.env['PULSE_SERVER'] ?? process.env['PIPEWIRE_REMOTE']) return true;
  const runtime = process.env['XDG_RUNTIME_DIR'] ?? `/run/user/${String(process.getuid?.() ?? 0)}`;
  const signs = [
    join(runtime, 'pulse/native'),
    join(runtime, 'pipewire-0'),
    join(homedir(), '.asoundrc'),
    '/etc/asound.conf',
  ];
  return signs.some((path) => existsSync(path)) || hasPlaybackDevice('/dev/snd');
}

function hasPlaybackDevice(folder: string): boolean {
  try {
    return readdirSync(folder).some((name) => /^pcm.*p$/.test(name));
  } catch {
    return false;
  }
}
