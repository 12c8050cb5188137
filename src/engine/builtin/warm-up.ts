import type { SeatSound, VoiceEvent } from '../../room/voice.js';
import { renderOffline } from './offline.js';
import type { RendererOptions } from './renderer.js';

const SECONDS = 1;
const NOTES = 4;

/**
 * Renders a second of each kind for nobody, in some 50 ms, so that its code is compiled before the first
 * note: a block must be ready within milliseconds from the start. Kinds are those that `options` has ready,
 * or else those of its seats.
 */
export function warmUp(options: RendererOptions): void {
  const kinds = options.kinds ?? options.seats.flatMap((seat) => seat?.kind ?? []);
  const seats = [...new Set(kinds)].map((kind): SeatSound => ({
    name: kind,
    kind,
    sound: 1,
    level: 1,
    pan: 0,
    strings: NOTES,
  }));
  const notes = Array.from({ length: NOTES * seats.length }, (_, i): VoiceEvent => {
    // Keys of drums and of all others alike.
    const note = 36 + ((2 * i) % 46);
    const sound = { voice: i + 1, seat: i % seats.length, string: i, note, fret: 0 };
    return { type: 'on', t: 0, ...sound, velocity: 100, strength: 0.8, how: 'pluck' };
  });
  const chunks = renderOffline(notes, { ...options, seats, tailSeconds: SECONDS });
  while (chunks.next().done !== true);
}
