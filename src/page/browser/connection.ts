import type { ReadonlySignal } from '@preact/signals';
import type { Ask } from '../link/asks.js';
import type { HistoryFrame } from '../link/history-frame.js';
import type { LevelsFrame } from '../link/levels-frame.js';
import type { PadVerdict, PageState } from '../link/state.js';
import type { VoiceEvent } from '../../room/voice.js';
import type { Link } from './line.js';

/** How the page hears of the service and asks of it; made once, by `connect.ts`. */
export interface Connection {
  /** Each part of the state; null until it was told for the first time. */
  readonly state: { readonly [Part in keyof PageState]: ReadonlySignal<PageState[Part] | null> };
  /** `lost`: the service cannot be reached; it is tried again by itself. */
  readonly link: ReadonlySignal<Link>;
  readonly guest: ReadonlySignal<boolean>;
  readonly seed: ReadonlySignal<number>;
  /** The latest verdicts of the watched seat, and whose slice it is. */
  readonly verdicts: ReadonlySignal<{
    readonly slice: number;
    readonly pads: readonly PadVerdict[];
  } | null>;
  /** Resolves to null once it is done, or to words that say why it was refused. */
  ask(wish: Ask): Promise<string | null>;
  /** The latest levels; the same object, refilled with each frame. */
  readonly levels: Readonly<LevelsFrame>;
  /** Calls back with the rows of the watched seat as they come, until the returned function is called. */
  onHistory(listener: (rows: HistoryFrame) => void): () => void;
  /** Calls back with the voices as they come, until the returned function is called. */
  onVoices(listener: (voices: Voices) => void): () => void;
}

export interface Voices {
  /** Some were lost: end all that sounds first. */
  readonly lost: boolean;
  /** The service's time as this was sent, in µs. */
  readonly now: number;
  readonly events: readonly VoiceEvent[];
}
