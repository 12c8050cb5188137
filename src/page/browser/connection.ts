import type { ReadonlySignal } from '@preact/signals';
import type { Ask } from '../link/asks.js';
import type { PadVerdict, PageState } from '../link/state.js';
import type { VoiceEvent } from '../../room/voice.js';

/** How the page hears of the service and asks of it; made once, by `connect.ts`. */
export interface Connection {
  /** Each part of the state; null until it was told for the first time. */
  readonly state: { readonly [Part in keyof PageState]: ReadonlySignal<PageState[Part] | null> };
  /** `lost`: the service cannot be reached; it is tried again by itself. */
  readonly link: ReadonlySignal<'connecting' | 'open' | 'lost' | 'refused'>;
  readonly guest: ReadonlySignal<boolean>;
  readonly seed: ReadonlySignal<number>;
  /** The latest verdicts of the watched seat, and which seat that is. */
  readonly verdicts: ReadonlySignal<{
    readonly seat: number;
    readonly pads: readonly PadVerdict[];
  } | null>;
  /** Resolves to null once it is done, or to words that say why it was refused. */
  ask(wish: Ask): Promise<string | null>;
  /** The latest levels; the same object, filled anew with each frame. */
  readonly levels: LevelsNow;
  /** Calls back with the rows of the watched seat as they come, until the returned function is called. */
  onHistory(listener: (rows: HistoryRows) => void): () => void;
  /** Calls back with the voices as they come, until the returned function is called. */
  onVoices(listener: (voices: Voices) => void): () => void;
}

/** What the last levels frame said. */
export interface LevelsNow {
  /** Counts frames up; 0 before the first. */
  readonly frame: number;
  /** In µs, by the service's clock. */
  readonly t: number;
  readonly seats: readonly SeatLevels[];
}

export interface SeatLevels {
  /** By pad: 0 to 255, 200 is a full touch. */
  readonly pads: Uint8Array;
  /** By pad: 1 where it is touched. */
  readonly touched: Uint8Array;
  /** By string: the MIDI note that sounds; 255: none. */
  readonly notes: Uint8Array;
  /** By string: the strength of its last note, 255 is 1. */
  readonly strengths: Uint8Array;
  /** How many notes have begun, modulo 256. */
  readonly begun: number;
}

export interface HistoryRows {
  readonly seat: number;
  readonly lost: number;
  /** By pad, levels. */
  readonly on: Float32Array;
  readonly off: Float32Array;
  /** A row each, in µs. */
  readonly times: Float64Array;
  /** Row by row, pad by pad. */
  readonly levels: Float32Array;
}

export interface Voices {
  /** Some were lost: end all that sounds first. */
  readonly lost: boolean;
  /** The service's time as this was sent, in µs. */
  readonly now: number;
  readonly events: readonly VoiceEvent[];
}
