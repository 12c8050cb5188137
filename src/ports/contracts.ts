import type { Observable } from 'rxjs';
import type { Loudness } from '../engine/builtin/output.js';
import type { VoiceEvent } from '../room/voice.js';
import type { Seated } from '../time/alongside.js';
import type { WireEvent } from '../wire/scan.js';

/** Something a person should know, in words for a busy teacher. */
export interface Notice {
  readonly level: 'info' | 'warn' | 'error';
  /** What happened, one sentence without a full stop. */
  readonly what: string;
  /** Where: a seat, a port, a file and line. */
  readonly where?: string;
  /** What to do next. */
  readonly next?: string;
}

/** How a port speaks to people; it never throws. */
export type Tell = (notice: Notice) => void;

/**
 * Where readings come from. `events` is hot, never errors, completes when no more will come, and
 * brings a `lost` reset for each of its seats when the device goes away.
 */
export interface Source {
  readonly events: Observable<Seated<WireEvent>>;
  close(): Promise<void>;
}

/**
 * Whatever makes the sound. `send` never throws and never waits: an engine that is not there yet is
 * told of once, tried again, and costs the others nothing.
 */
export interface Engine {
  readonly name: string;
  send(event: VoiceEvent): void;
  /** Also told of all that comes in, before it is played: for engines that hand readings on. */
  reading?(event: Seated<WireEvent>): void;
  /** How loud it is, by its latest word, a few a second; null: nobody has heard anything yet. */
  loudness?(): Loudness | null;
  /** Silences, then lets go of the device. */
  close(): Promise<void>;
}
