import type { Reset } from '../../time/events.js';
import type { Micros } from '../../time/micros.js';
import { farNotes } from '../../wire/osc-far-notes.js';
import { farPads } from '../../wire/osc-far-pads.js';
import type { HandOn, HandPacket, HandPart } from '../../wire/osc-hand.js';
import { lossCounter, type LossCounter, type LossCounts } from '../../wire/osc-loss.js';
import type { PlayedOff, PlayedOn, WireEvent } from '../../wire/scan.js';

type HandReadings = Extract<HandPart, { type: 'scan' | 'now' }>;
type HandOff = Extract<HandPart, { type: 'off' }>;

/** One seat as one run of the program on another computer hands it on. */
export interface HandStream {
  readonly run: number;
  /** The address of the other computer. */
  readonly from: string;
  /** When it was last heard; null once it has ended, or has been silent too long. */
  heard: Micros | null;
  /** The number of the packet by which it ended; -1 before. */
  over: number;
  readonly loss: LossCounter;
  /** What a packet means as it is played, at `t`. */
  play(packet: HandPacket, t: Micros): WireEvent[];
}

/** What a stream of a seat may bring: readings, or notes; see `From`. */
export type HandKind = 'pads' | 'notes';

/** What a packet brings where it brings one of the two; null where it fits both. */
export function kindOf({ parts }: HandPacket): HandKind | null {
  const [part] = parts;
  if (!part || part.type === 'reset') return null;
  return part.type === 'scan' || part.type === 'now' ? 'pads' : 'notes';
}

export function handStream(run: number, from: string, counts: LossCounts): HandStream {
  const pads = farPads();
  const notes = farNotes();

  function* readings(number: number, part: HandReadings, t: Micros): Generator<WireEvent> {
    const { inputs, raws } = pads[part.type](number, part);
    if (inputs.length > 0) yield { type: 'scan', t, inputs, raws };
  }

  /** Only a note that is heard can be carried on, and only by one that is heard. */
  function* ended(number: number, part: HandOff, next: HandPart | undefined, t: Micros) {
    const { voice } = part;
    const on = part.slurred && next?.type === 'on' && notes.on(number, next) ? next : null;
    if (notes.off(number, voice)) yield off(t, voice, on !== null);
    if (on) yield begun(t, on);
  }

  function* meaning({ number, parts }: HandPacket, t: Micros): Generator<WireEvent> {
    for (const [i, part] of parts.entries()) {
      switch (part.type) {
        case 'scan':
        case 'now':
          yield* readings(number, part, t);
          break;
        case 'on':
          if (notes.on(number, part)) yield begun(t, part);
          break;
        case 'off':
          yield* ended(number, part, parts[i + 1], t);
          break;
        case 'sounding':
          for (const voice of notes.sounding(number, part.voices)) yield off(t, voice, false);
          break;
        case 'reset':
          notes.reset(number);
          yield resetAt(t, part.why);
          break;
      }
    }
  }

  return {
    run,
    from,
    heard: null,
    over: -1,
    loss: lossCounter(counts),
    play: (packet, t) => [...meaning(packet, t)],
  };
}

function begun(t: Micros, part: HandOn): PlayedOn {
  return { ...part, type: 'played', t, on: true };
}

function off(t: Micros, voice: number, slurred: boolean): PlayedOff {
  return { type: 'played', t, on: false, voice, slurred };
}

/** The unit may be another one when the other computer begins again: as if it had been unplugged. */
function resetAt(t: Micros, why: Reset['why']): Reset {
  return { type: 'reset', t, why: why === 'end' ? 'lost' : why };
}
