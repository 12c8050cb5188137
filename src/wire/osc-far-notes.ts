import type { HandOn } from './osc-hand.js';

/** What is known of the notes of a seat on another computer. Numbers are those of `HandPacket`. */
export interface FarNotes {
  /**
   * An on as it is played: false where a packet that was sent later already told of its end, or where
   * `MOST_BEGUN` sound.
   */
  on(number: number, on: HandOn): boolean;
  off(number: number, voice: number): boolean;
  /** All that sounded when `number` was sent: gives the voices whose off was lost. */
  sounding(number: number, voices: readonly number[]): number[];
  /** Everything ended when `number` was sent. */
  reset(number: number): void;
}

/** Offs that came before their ons: more than a network turns round. */
const MOST_ENDED = 256;
/** Far more than ten fingers; a sender that never ends a note must not fill the memory. */
export const MOST_BEGUN = 512;

export function farNotes(): FarNotes {
  /** What sounds, by the number of the packet that began it. */
  const begun = new Map<number, number>();
  /** Voices whose off came first, by the number of its packet. */
  const ended = new Map<number, number>();
  let listed: { number: number; voices: ReadonlySet<number> } = { number: -1, voices: new Set() };
  let over = -1;

  return {
    on(number, { voice }) {
      const past = number < over || (number < listed.number && !listed.voices.has(voice));
      if (past || begun.has(voice) || (ended.get(voice) ?? -1) > number) return false;
      if (begun.size >= MOST_BEGUN) return false;
      begun.set(voice, number);
      return true;
    },
    off(number, voice) {
      if (begun.delete(voice)) return true;
      ended.set(voice, number);
      for (const first of ended.keys()) if (ended.size > MOST_ENDED) ended.delete(first);
      return false;
    },
    sounding(number, voices) {
      if (number < listed.number) return [];
      listed = { number, voices: new Set(voices) };
      const lost = [...begun]
        .filter(([voice, since]) => since < number && !listed.voices.has(voice))
        .map(([voice]) => voice);
      for (const voice of lost) begun.delete(voice);
      return lost;
    },
    reset(number) {
      over = Math.max(over, number);
      for (const [voice, since] of begun) if (since < number) begun.delete(voice);
    },
  };
}
