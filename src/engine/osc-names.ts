import type { VoiceOn } from '../room/voice.js';

/** OSC argument types that a template may use (OSC 1.0; h and d are its 64-bit ones). */
export type OscType = 'i' | 'f' | 's' | 'd' | 'h';

/** What a template may speak of. */
export type Name =
  'voice' | 'note' | 'frequency' | 'velocity' | 'strength' | 'string' | 'fret' | 'seat';

interface NameRule {
  /** The types this name can be sent as; the usual one first. */
  readonly types: readonly OscType[];
  /** A part of an address names a place, so only whole numbers and names may stand in one. */
  readonly inAddress: boolean;
}

const WHOLE: NameRule = { types: ['i', 'f', 'd', 'h', 's'], inAddress: true };
const REAL: NameRule = { types: ['f', 'd'], inAddress: false };

export const NAMES: Readonly<Record<Name, NameRule>> = {
  voice: WHOLE,
  note: WHOLE,
  frequency: REAL,
  velocity: WHOLE,
  strength: REAL,
  string: WHOLE,
  fret: WHOLE,
  seat: { types: ['s', 'i', 'f', 'd', 'h'], inAddress: true },
};

/** The equally tempered pitch of a MIDI note in Hz: 440·2^((n−69)/12), A4 = 440 Hz (ISO 16). */
export function frequencyOf(note: number): number {
  return 440 * 2 ** ((note - 69) / 12);
}

/** The number behind a name; for `seat` its place in the room, counted from 0. */
export function numberOf(name: Name, on: VoiceOn): number {
  return name === 'frequency' ? frequencyOf(on.note) : on[name];
}

/**
 * A seat's name as a part of an OSC address, which is printable ASCII without the characters that
 * mean something in patterns (OSC 1.0): accents fall off, anything else forbidden becomes `_`.
 *
 * @example addressPart('Zoë & co') // 'Zoe_&_co'
 */
export function addressPart(name: string): string {
  const plain = name.normalize('NFD').replace(/\p{M}/gu, '');
  return plain.replace(/[^!-~]|[#*,/?[\]{}]/g, '_');
}
