import type { Kind } from '../instrument/types.js';
import type { Micros } from '../time/micros.js';
import type { How } from '../playing/note.js';

/** A note that won its place: what every engine is told. */
export interface VoiceOn {
  readonly type: 'on';
  readonly t: Micros;
  /** Names this sounding from its on to its off; counts up from 1 and never comes again. */
  readonly voice: number;
  /** The seat's slot. */
  readonly seat: number;
  readonly note: number;
  readonly velocity: number;
  readonly strength: number;
  /** Which string, key or drum pad of the seat, counted from 0. */
  readonly string: number;
  readonly fret: number;
  readonly how: How;
}

/** The end of a voice, exactly once. `slurred`: the very next event carries it on, on the same string. */
export interface VoiceOff {
  readonly type: 'off';
  readonly t: Micros;
  readonly voice: number;
  readonly seat: number;
  readonly note: number;
  readonly string: number;
  readonly slurred: boolean;
}

/** How a seat sounds from now on, among the others: what is on already changes with it. */
export interface Mix {
  readonly type: 'mix';
  readonly t: Micros;
  readonly seat: number;
  /** 0 to 1, with all that turns the seat down counted in; applied to the amplitude. */
  readonly level: number;
  /** −1 is left, 0 the middle, 1 right. */
  readonly pan: number;
  /** General MIDI program, or drum kit, counted from 1: for notes that begin from now on. */
  readonly sound: number;
  /** Whether the others are turned down while this seat sounds. */
  readonly lead: boolean;
}

/** Everything ends at once. Each sounding voice has had its own off before. */
export interface Silence {
  readonly type: 'silence';
  readonly t: Micros;
}

/** What an engine needs to know of a seat. */
export interface SeatSound {
  readonly name: string;
  readonly kind: Kind;
  /** General MIDI program, or drum kit, counted from 1. */
  readonly sound: number;
  /** 0 to 1, applied to the amplitude; what it is until a `mix` says otherwise. */
  readonly level: number;
  /** −1 is left, 0 the middle, 1 right; until a `mix` says otherwise. */
  readonly pan: number;
  /** How many strings its instrument has; 1 for all that has none. */
  readonly strings: number;
}

/** A seat plays from now on, in a slot in which nobody did. */
export interface Joined {
  readonly type: 'joined';
  readonly t: Micros;
  readonly seat: number;
  readonly sound: SeatSound;
}

/** A seat plays no more. Each of its voices has had its off before; its slot is free. */
export interface Left {
  readonly type: 'left';
  readonly t: Micros;
  readonly seat: number;
}

/** What can be heard. */
export type SoundEvent = VoiceOn | VoiceOff | Mix | Silence;

export type VoiceEvent = SoundEvent | Joined | Left;

export function isNote(event: VoiceEvent): event is VoiceOn | VoiceOff | Silence {
  return event.type === 'on' || event.type === 'off' || event.type === 'silence';
}

/** Whether it can be heard: who joins and leaves cannot. */
export function isSound(event: VoiceEvent): event is SoundEvent {
  return event.type !== 'joined' && event.type !== 'left';
}
