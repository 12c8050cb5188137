import { renderOffline } from '../../engine/builtin/offline.js';
import type { RendererOptions } from '../../engine/builtin/renderer.js';
import type { VoiceEvent } from '../../room/voice.js';

const STRINGS = 16;
const SECONDS = 1;

/**
 * Renders a second of strings for nobody, in some 50 ms, so that the code is compiled before the first note:
 * a block must be ready within milliseconds from the start.
 */
export function warmUp(options: RendererOptions): void {
  const plucks = Array.from({ length: STRINGS }, (_, i): VoiceEvent => {
    const sound = { voice: i + 1, seat: 0, string: i, note: 28 + 2 * i, fret: 0 };
    return { type: 'on', t: 0, ...sound, velocity: 100, strength: 0.8, how: 'pluck' };
  });
  const chunks = renderOffline(plucks, { ...options, tailSeconds: SECONDS });
  while (chunks.next().done !== true);
}
