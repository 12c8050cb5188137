import type { Speaker, SpeakerOptions } from './contract.js';

export type { PlayOptions, Speaker, SpeakerOptions, SpeakerState } from './contract.js';

/**
 * Opens this device's loudspeaker. To be called from a click or a key: browsers let no page sound before.
 *
 * @throws Error where this browser cannot sound anything; `message` is one of `SoundTexts.faults`
 */
export function openSpeaker(options: SpeakerOptions): Promise<Speaker> {
  return Promise.reject(new Error(`not built yet: ${String(options.seats.length)} seats`));
}
