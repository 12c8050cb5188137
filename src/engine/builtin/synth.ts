import type { Mix, SeatSound, VoiceOff, VoiceOn } from '../../room/voice.js';

/** The renderer asks a synth for at most this many samples at once, and never across a multiple of it. */
export const QUANTUM = 128;

/** What makes the samples inside the renderer: the own voices, or a SoundFont. An unknown seat is silent. */
export interface Synth {
  on(event: VoiceOn): void;
  off(event: VoiceOff): void;
  /** Gives a seat another level and place over about 10 ms, and its next notes another sound. */
  mix(event: Mix): void;
  /**
   * A seat plays in a slot from now on, or nobody does (null). What has ended there already may still
   * fade out; nothing of the others changes.
   */
  seat(slot: number, sound: SeatSound | null): void;
  /** Ends all that sounds within 5 ms, without a click, and lets what begins later begin. */
  silence(): void;
  /** Overwrites indices `from` until before `to` of both channels. */
  render(left: Float32Array, right: Float32Array, from: number, to: number): void;
  /** Called whenever a multiple of QUANTUM frames is full, wherever the caller's blocks end. */
  quantum(): void;
}
