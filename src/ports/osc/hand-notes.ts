import type { VoiceEvent, VoiceOff } from '../../room/voice.js';
import type { Micros } from '../../time/micros.js';
import type { HandPart } from '../../wire/osc-hand.js';

/** Parts of one packet. */
export interface HandedParts {
  readonly seat: number;
  readonly t: Micros;
  readonly parts: readonly HandPart[];
}

/** Voices as parts of packets. A slur is one packet, so that no loss can part it. */
export interface HandNotes {
  next(event: VoiceEvent): HandedParts[];
  /** All that sounds of a seat. */
  all(seat: number): HandPart;
  reset(seat: number): void;
}

export function handNotes(): HandNotes {
  /** By slot. */
  const sounding = new Map<number, Set<number>>();
  /** An off that the very next event carries on. */
  let slur: VoiceOff | null = null;

  function next(event: VoiceEvent): HandedParts[] {
    if (event.type !== 'on' && event.type !== 'off') return [];
    const before = slur;
    slur = null;
    const carried = before?.seat === event.seat && event.type === 'on';
    const out: HandedParts[] = [];
    if (before && !carried) out.push(off(before));
    if (event.type === 'on') {
      const { seat, t, voice, note, velocity, strength, string, fret, how } = event;
      const own = sounding.get(seat) ?? new Set();
      sounding.set(seat, own.add(voice));
      const on: HandPart = { type: 'on', voice, note, velocity, strength, string, fret, how };
      const old: HandPart[] = carried ? [{ type: 'off', voice: before.voice, slurred: true }] : [];
      out.push({ seat, t, parts: [...old, on] });
    } else {
      sounding.get(event.seat)?.delete(event.voice);
      if (event.slurred) slur = event;
      else out.push(off(event));
    }
    return out;
  }

  return {
    next,
    all: (seat) => ({ type: 'sounding', voices: [...(sounding.get(seat) ?? [])] }),
    reset: (seat) => sounding.get(seat)?.clear(),
  };
}

function off({ seat, t, voice }: VoiceOff): HandedParts {
  return { seat, t, parts: [{ type: 'off', voice, slurred: false }] };
}
