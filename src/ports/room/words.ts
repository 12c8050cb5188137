import { isOnPage } from '../../instrument/room-from.js';
import type { From, OscMessages, To } from '../../instrument/types.js';

/** Where a seat's readings come from, in words. */
export function fromWords(from: From): string {
  if ('midi' in from) return `the MIDI port named like "${from.midi}" (${from.as})`;
  if ('virtual' in from) return `our own MIDI port "${from.virtual}" (${from.as})`;
  if ('osc' in from) {
    const notes = from.hand === 'notes' ? ' (notes of another computer)' : '';
    return `OSC on UDP port ${String(from.osc)}${notes}`;
  }
  if ('take' in from) return `the take ${from.take}`;
  return isOnPage(from) ? 'a finger or the mouse on the page' : 'the demo player';
}

/** Where the notes go, in words. */
export function toWords(to: To<OscMessages>): string {
  if ('midi' in to) {
    return 'port' in to.midi
      ? `the MIDI port named like "${to.midi.port}"`
      : `our own MIDI port "${to.midi.virtual}"; join a synth to it`;
  }
  if ('osc' in to) {
    const { host, port, hand } = to.osc;
    const at = `${host}, UDP port ${String(port)}`;
    return hand === undefined ? `OSC at ${at}` : `the pluckwork at ${at}, which is handed ${hand}`;
  }
  const { soundfont } = to.builtin;
  return soundfont === null ? 'the built-in engine' : `the built-in engine with ${soundfont}`;
}
