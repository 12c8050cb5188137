import { signal } from '@preact/signals';
import type { Connection, Voices } from '../../../../src/page/browser/connection.js';
import type { Link } from '../../../../src/page/browser/line.js';
import type { Ask } from '../../../../src/page/link/asks.js';
import type { PageEngine, PageSeat } from '../../../../src/page/link/state.js';

export interface FakeConnection {
  readonly connection: Connection;
  /** All that was asked for, in order; each is done. */
  readonly asked: Ask[];
  readonly send: (voices: Voices) => void;
  readonly link: { value: Link };
  readonly seats: { value: readonly PageSeat[] | null };
}

/** A connection whose other end is the test. It runs in a browser too. */
export function connectionTo(
  seatsNow: readonly PageSeat[] | null,
  engines: readonly PageEngine[] | null,
): FakeConnection {
  const link = signal<Link>('open');
  const seats = signal(seatsNow);
  const asked: Ask[] = [];
  const listeners = new Set<(voices: Voices) => void>();
  const nothing = signal(null);
  const connection: Connection = {
    state: {
      room: nothing,
      notices: nothing,
      guide: nothing,
      recording: nothing,
      takes: nothing,
      seats,
      engines: signal(engines),
    },
    link,
    guest: signal(true),
    seed: signal(1),
    verdicts: nothing,
    ask: (wish) => {
      asked.push(wish);
      return Promise.resolve(null);
    },
    levels: { frame: 0, t: 0, layout: 0, slices: new Map() },
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
