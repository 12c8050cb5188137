import type { Kind } from '../instrument/types.js';
import type { VoiceOn } from '../room/voice.js';

/** OSC argument types that a template may use (OSC 1.0; h and d are its 64-bit ones). */
export type OscType = 'i' | 'f' | 's' | 'd' | 'h';

/** What a message about a voice may speak of. */
export type VoiceName =
  'voice' | 'note' | 'frequency' | 'velocity' | 'strength' | 'string' | 'fret';
/** What any message about a seat may speak of. */
export type SeatName = 'seat' | 'level' | 'pan' | 'sound' | 'kind';
export type Name = VoiceName | SeatName;

/** A seat, and how it sounds now; the program or drum kit is counted from 1. */
export interface SeatNow {
  readonly seat: number;
  readonly name: string;
  /** Its name as a part of an address, different from those of all who play beside it. */
  readonly part: string;
  readonly kind: Kind;
  readonly level: number;
  readonly pan: number;
  readonly sound: number;
}

/** What a message is about: a seat, and one of its voices where it is about one. */
export interface Subject {
  readonly now: SeatNow;
  readonly on: VoiceOn | null;
}

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
  level: REAL,
  pan: REAL,
  sound: WHOLE,
  kind: { types: ['s'], inAddress: true },
};

const SEAT_NAMES: readonly string[] = ['seat', 'level', 'pan', 'sound', 'kind'];

export function isSeatName(name: Name): name is SeatName {
  return SEAT_NAMES.includes(name);
}

/** The equally tempered pitch of a MIDI note in Hz: 440·2^((n−69)/12), A4 = 440 Hz (ISO 16). */
export function frequencyOf(note: number): number {
  return 440 * 2 ** ((note - 69) / 12);
}

/**
 * The number behind a name; for `seat` its slot. Voice names are asked
 * for only where the message is about a voice, which reading its template has made sure of.
 */
export function numberOf(name: Exclude<Name, 'kind'>, { now, on }: Subject): number {
  switch (name) {
    case 'seat':
    case 'level':
    case 'pan':
    case 'sound':
      return now[name];
    case 'frequency':
      return frequencyOf(on!.note);
    default:
      return on![name];
  }
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
