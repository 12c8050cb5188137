import { HOWS } from '../../playing/note.js';
import type { SoundEvent } from '../../room/voice.js';

/*
 * A voice event in a fixed number of bytes, little-endian:
 *   0 u8 type (an index into TYPES) · 1 u8 how (an index into HOWS), or 1 where slurred, or 1 where lead
 *   2 u16 seat · 4 u32 voice, or sound · 8 f64 time in µs · 16 f64 strength, or level
 *   24 f64 pan; or of a note: u8 note · u8 velocity · u16 string · u16 fret · u16 0
 */

/** The length of a record. */
export const VOICE_BYTES = 32;

const TYPES = ['on', 'off', 'mix', 'silence'] as const;
const CODE = { on: 0, off: 1, mix: 2, silence: 3 } as const;
const HOW = new Map(HOWS.map((how, code) => [how, code]));

/** Writes a voice event at `at`; it allocates nothing. */
export function writeVoice(view: DataView, at: number, event: SoundEvent): void {
  view.setUint8(at, CODE[event.type]);
  view.setFloat64(at + 8, event.t, true);
  if (event.type === 'silence') return;
  view.setUint16(at + 2, event.seat, true);
  switch (event.type) {
    case 'on':
      view.setUint8(at + 1, HOW.get(event.how) ?? 0);
      view.setUint32(at + 4, event.voice, true);
      view.setFloat64(at + 16, event.strength, true);
      view.setUint8(at + 24, event.note);
      view.setUint8(at + 25, event.velocity);
      view.setUint16(at + 26, event.string, true);
      view.setUint16(at + 28, event.fret, true);
      return;
    case 'off':
      view.setUint8(at + 1, event.slurred ? 1 : 0);
      view.setUint32(at + 4, event.voice, true);
      view.setUint8(at + 24, event.note);
      view.setUint16(at + 26, event.string, true);
      return;
    case 'mix':
      view.setUint8(at + 1, event.lead ? 1 : 0);
      view.setUint32(at + 4, event.sound, true);
      view.setFloat64(at + 16, event.level, true);
      view.setFloat64(at + 24, event.pan, true);
      return;
  }
}

/**
 * Reads the voice event at `at`.
 *
 * @throws RangeError where none can be there
 */
export function readVoice(view: DataView, at: number): SoundEvent {
  const type = TYPES[view.getUint8(at)];
  const mark = view.getUint8(at + 1);
  const seat = view.getUint16(at + 2, true);
  const voice = view.getUint32(at + 4, true);
  const t = view.getFloat64(at + 8, true);
  const share = view.getFloat64(at + 16, true);
  const note = view.getUint8(at + 24);
  const string = view.getUint16(at + 26, true);
  switch (type) {
    case 'on': {
      const how = HOWS[mark];
      if (how === undefined) throw new RangeError(`no note is made so: ${String(mark)}`);
      const velocity = view.getUint8(at + 25);
      const fret = view.getUint16(at + 28, true);
      return { type, t, voice, seat, note, velocity, strength: share, string, fret, how };
    }
    case 'off':
      return { type, t, voice, seat, note, string, slurred: mark === 1 };
    case 'mix': {
      const pan = view.getFloat64(at + 24, true);
      return { type, t, seat, level: share, pan, sound: voice, lead: mark === 1 };
    }
    case 'silence':
      return { type, t };
    default:
      throw new RangeError(`no voice event begins with ${String(view.getUint8(at))}`);
  }
}
