import { decodeVoices } from '../link/voices-frame.js';
import { readVoice, VOICE_BYTES } from '../link/voice-record.js';
import type { Voices } from './connection.js';

/** The voices of a frame; null where it is none. Where one cannot be read, all are lost: they may hold ends. */
export function readVoices(bytes: Uint8Array): Voices | null {
  const frame = decodeVoices(bytes, VOICE_BYTES);
  if (!frame) return null;
  const { lost, now, count, records } = frame;
  const view = new DataView(records.buffer, records.byteOffset, records.byteLength);
  try {
    const events = Array.from({ length: count }, (_, i) => readVoice(view, i * VOICE_BYTES));
    return { lost, now, events };
  } catch {
    return { lost: true, now, events: [] };
  }
}
