import { signal } from '@preact/signals';
import type { SeatSound } from '../../../../src/engine/seat-sound.js';
import type { Connection, Voices } from '../../../../src/page/browser/connection.js';
import type { Link } from '../../../../src/page/browser/line.js';
import type { Sink } from '../../../../src/page/browser/sound/sink.js';
import type { Ask } from '../../../../src/page/link/asks.js';
import type { PageSeat } from '../../../../src/page/link/state.js';
import type { VoiceEvent } from '../../../../src/room/voice.js';
import { BASS, PLAIN } from '../../../support/bass.js';
import { seatSound } from '../../../support/seat-sound.js';

/** A device that keeps what it is given, on clocks that the test sets. */
export class FakeSink implements Sink {
  readonly sampleRate = 48_000;
  readonly got: { event: VoiceEvent; frame: number }[] = [];
  silences = 0;
  ms = 0;
  aheadMs = 0;
  /** By how much the context's clock is behind the page's. */
  contextBehind = 5_000;
  seats: readonly SeatSound[] = [seatSound()];
  begun = 0;

  time(): number {
    return this.ms - this.contextBehind;
  }
  now(): number {
    return this.ms;
  }
  ahead(): number {
    return this.aheadMs;
  }
  outputDelay(): number {
    return 0;
  }
  begin(seats: readonly SeatSound[]): void {
    this.seats = seats;
    this.begun++;
  }
  send(events: readonly VoiceEvent[], frames: readonly number[]): void {
    for (const [i, event] of events.entries()) this.got.push({ event, frame: frames[i]! });
  }
  /** Drops what waits, as the renderer does. */
  silence(): void {
    this.silences++;
    this.got.length = 0;
  }
  /** What is to sound, without the mixes. */
  get notes(): { event: VoiceEvent; frame: number }[] {
    return this.got.filter(({ event }) => event.type !== 'mix');
  }
}

export function pageSeat(name: string, level = 0.8): PageSeat {
  return {
    ...{ name, instrument: BASS, padNames: [], strings: 4, plugged: 'here', from: 'test' },
    ...{ screen: false, raw: true, build: null },
    mix: { level, pan: 0, mute: false, solo: false, lead: false, sound: 34 },
    rules: { name: PLAIN.name, values: {}, tried: [], fault: null },
  };
}

/** A connection whose other end is the test. */
export function fakeConnection(): {
  connection: Connection;
  asked: Ask[];
  send: (voices: Voices) => void;
  link: { value: Link };
  seats: { value: readonly PageSeat[] | null };
} {
  const link = signal<Link>('open');
  const seats = signal<readonly PageSeat[] | null>([pageSeat('north')]);
  const asked: Ask[] = [];
  const listeners = new Set<(voices: Voices) => void>();
  const nothing = signal(null);
  const connection: Connection = {
    state: {
      ...{ room: nothing, engines: nothing, notices: nothing, guide: nothing, recording: nothing },
      ...{ seats, takes: nothing },
    },
    link,
    guest: signal(true),
    seed: signal(1),
    verdicts: nothing,
    ask: (wish) => {
      asked.push(wish);
      return Promise.resolve(null);
    },
    levels: { frame: 0, t: 0, seats: [] },
    onHistory: () => () => undefined,
    onVoices(listener) {
      listeners.add(listener);
      return () => listeners.delete(listener);
    },
  };
  const send = (voices: Voices): void => {
    for (const listener of listeners) listener(voices);
  };
  return { connection, asked, send, link, seats };
}
