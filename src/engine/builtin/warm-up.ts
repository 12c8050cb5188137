import type { VoiceEvent } from '../../room/voice.js';
import { renderOffline } from './offline.js';
import type { RendererOptions } from './renderer.js';

const LEAST_NOTES = 16;
const SECONDS = 1;

/**
 * Renders a second of every seat for nobody, in some 50 ms, so that the code of every kind in the room is
 * compiled before the first note: a block must be ready within milliseconds from the start.
 */
export function warmUp(options: RendererOptions): void {
  const seats = options.seats.length;
  const notes = Array.from({ length: Math.max(LEAST_NOTES, seats) }, (_, i): VoiceEvent => {
    // Keys of drums and of all others alike.
    const sound = { voice: i + 1, seat: i % seats, string: i, note: 36 + ((2 * i) % 46), fret: 0 };
    return { type: 'on', t: 0, ...sound, velocity: 100, strength: 0.8, how: 'pluck' };
  });
  const chunks = renderOffline(notes, { ...options, tailSeconds: SECONDS });
  while (chunks.next().done !== true);
}
