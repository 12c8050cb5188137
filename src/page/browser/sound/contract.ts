import type { ReadonlySignal } from '@preact/signals';
import type { Loudness } from '../../../engine/builtin/output.js';
import type { SeatSound } from '../../../engine/seat-sound.js';
import type { Ceiling } from '../../../instrument/ceiling.js';
import type { VoiceEvent } from '../../../room/voice.js';
import type { Micros } from '../../../time/micros.js';
import type { Connection } from '../connection.js';

/** What a speaker is opened with. */
export interface SpeakerOptions {
  /** By the voices' `seat`; null where nobody plays. */
  readonly seats: readonly (SeatSound | null)[];
  /** Integer; the same seed gives the same sound (the service's: `connection.seed`). */
  readonly seed: number;
  /** What the output keeps to: the built-in engine's of this room, or PAGE_CEILING of `ceiling.ts`. */
  readonly ceiling: Ceiling;
}

/** How a speaker is. */
export type SpeakerState =
  /** It sounds what it is given. */
  | 'on'
  /** The browser holds it back until somebody touches the page: call `resume` from a click. */
  | 'held'
  /** The page is hidden, so it is silent until it is shown again. */
  | 'hidden'
  /** Rendering failed again and again: it stays silent. Close it and open another. */
  | 'failed'
  /** `close` was called. */
  | 'closed';

export interface PlayOptions {
  /** Where to begin, by the events' own time; left out: at the first event. */
  readonly from?: Micros;
  /** Where to end; left out: two seconds after the last event. */
  readonly to?: Micros;
  /** Told some tens of times a second which moment of the events is heard now. */
  readonly onPosition?: (t: Micros) => void;
  /** Called once, however it ended: at `to`, by `stop`, by another `play`, or as the page was hidden. */
  readonly onEnd?: () => void;
}

/** This device as a loudspeaker: the built-in voices, behind the ceiling. */
export interface Speaker {
  readonly state: ReadonlySignal<SpeakerState>;
  /** Some times a second, before this device's own level; null: nothing was told yet. */
  readonly loudness: ReadonlySignal<Loudness | null>;
  /** Why the service will not send voices, in its words; null: it does. */
  readonly refused: ReadonlySignal<string | null>;
  /** How often rendering failed and began again, or fell behind: each time something broke off. */
  readonly gaps: ReadonlySignal<number>;
  /** Milliseconds from a voice's own time until it leaves this device, as far as the browser tells. */
  readonly delay: ReadonlySignal<number>;
  /** This device's own level, 0 to 1, applied to the amplitude behind the ceiling. */
  readonly level: ReadonlySignal<number>;
  setLevel(level: number): void;
  /** Another seed or ceiling from now on; what sounds ends where either is another one. */
  setup(seed: number, ceiling: Ceiling): void;
  /** Lets it go on where the browser held it back; to be called from a click or a key. */
  resume(): Promise<void>;
  /** Plays what the room plays from now on, until the returned function, `stop` or `close` is called. */
  live(connection: Connection): () => void;
  /**
   * Plays a list of voices from a position, as soon as it can.
   *
   * @param events in the order of time; those before `from` only set how the seats are mixed
   */
  play(events: readonly VoiceEvent[], options?: PlayOptions): void;
  /** Ends `live` or `play`, and all that sounds. */
  stop(): void;
  /** Ends all that sounds at once; `live` and `play` go on. */
  silence(): void;
  /** Ends everything and lets the device go. */
  close(): Promise<void>;
}
