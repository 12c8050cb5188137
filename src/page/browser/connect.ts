import { batch, signal, type Signal } from '@preact/signals';
import type { Ask } from '../link/asks.js';
import { FRAME } from '../link/frames.js';
import { decodeHistory, type HistoryFrame } from '../link/history-frame.js';
import { decodeLevels, levelsOf, NO_LAYOUT, type LevelsFrame } from '../link/levels-frame.js';
import type { PageSeat, PageState } from '../link/state.js';
import type { Told } from '../link/told.js';
import type { Connection, Voices } from './connection.js';
import { readVoices } from './connect-voices.js';
import { openLine, type Socket } from './line.js';
import type { Later } from './parts/wish.js';

/** What a connection needs of the browser. */
export interface Surroundings {
  readonly open: () => Socket;
  readonly later: Later;
  readonly chance: () => number;
  /** Loads the page again. */
  readonly reload: () => void;
  /** In the reader's language, why something could not be asked. */
  readonly notAsked: () => string;
}

/** A connection, and what wakes it. */
export interface Connected extends Connection {
  /** Tries again at once where the link is lost. */
  now(): void;
}

/**
 * Connects to the service, and again by itself whenever that breaks off. What was last asked by `watch`
 * and `voices` is asked again then; everything else that was not answered resolves to words. While the
 * link is lost, the parts of the state stay as they were last and all levels are at rest.
 */
export function connect({ open, later, chance, reload, notAsked }: Surroundings): Connected {
  const state: { readonly [Part in keyof PageState]: Signal<PageState[Part] | null> } = {
    room: signal(null),
    seats: signal(null),
    engines: signal(null),
    notices: signal(null),
    guide: signal(null),
    recording: signal(null),
    takes: signal(null),
  };
  const guest = signal(false);
  const seed = signal(0);
  const verdicts = signal<Connection['verdicts']['value']>(null);
  const levels: { -readonly [Key in keyof LevelsFrame]: LevelsFrame[Key] } = levelsOf(NO_LAYOUT);
  const answers = new Map<number, (refused: string | null) => void>();
  const lasting = new Map<'watch' | 'voices', Ask>();
  const history = new Set<(rows: HistoryFrame) => void>();
  const voices = new Set<(voices: Voices) => void>();
  let version: string | null = null;
  let id = 0;

  const sendAsk = (ask: Ask, then: (refused: string | null) => void): void => {
    const own = id++;
    if (line.send(JSON.stringify({ id: own, ask }))) answers.set(own, then);
    else then(notAsked());
  };

  const rest = (): void => {
    levels.frame++;
    for (const { pads, touched, notes, strengths } of levels.slices.values()) {
      for (const bytes of [pads, touched, strengths]) bytes.fill(0);
      notes.fill(255);
    }
  };

  const told = (one: Told): void => {
    switch (one.told) {
      case 'hello':
        if (version !== null && version !== one.version) reload();
        version = one.version;
        guest.value = one.guest;
        seed.value = one.seed;
        line.greeted();
        for (const ask of lasting.values()) sendAsk(ask, () => undefined);
        break;
      case 'answer':
        answers.get(one.id)?.(one.refused);
        answers.delete(one.id);
        break;
      case 'verdicts':
        verdicts.value = { slice: one.slice, pads: one.pads };
        break;
      case 'layout':
        Object.assign(levels, levelsOf(one, levels));
        break;
      case 'seats':
        state.seats.value = seatsAfter(state.seats.peek() ?? [], one.now);
        break;
      default:
        // A part that this page does not know is a newer program's: it loads again before long.
        if (one.told in state) (state[one.told] as Signal<unknown>).value = one.now;
    }
  };

  const framed = (bytes: Uint8Array): void => {
    if (bytes[0] === FRAME.levels) {
      decodeLevels(bytes, levels);
    } else if (bytes[0] === FRAME.history) {
      const rows = decodeHistory(bytes, (slice) => levels.slices.get(slice)?.pads.length);
      if (rows) for (const listener of [...history]) listener(rows);
    } else if (bytes[0] === FRAME.voices) {
      const heard = readVoices(bytes);
      if (heard) for (const listener of [...voices]) listener(heard);
    }
  };

  const line = openLine({
    open,
    later,
    chance,
    heard(data) {
      if (typeof data === 'string') batch(() => told(JSON.parse(data) as Told));
      else framed(new Uint8Array(data));
    },
    broke() {
      rest();
      // Whoever sounds the voices does not hear of their ends now.
      for (const listener of [...voices]) listener({ lost: true, now: levels.t, events: [] });
      const unanswered = [...answers.values()];
      answers.clear();
      for (const then of unanswered) then(notAsked());
    },
    knock() {
      sendAsk(lasting.get('watch') ?? { ask: 'watch', seat: null }, () => undefined);
    },
  });

  return {
    state,
    link: line.link,
    guest,
    seed,
    verdicts,
    levels,
    now: () => line.now(),
    ask(wish) {
      if (wish.ask === 'watch' || wish.ask === 'voices') lasting.set(wish.ask, wish);
      return new Promise((resolve) => sendAsk(wish, resolve));
    },
    onHistory: (listener) => listening(history, listener),
    onVoices: (listener) => listening(voices, listener),
  };
}

/** The seats that are told, each of them as it was before where nothing of it changed. */
function seatsAfter(before: readonly PageSeat[], now: readonly PageSeat[]): readonly PageSeat[] {
  const known = new Map(before.map((seat) => [seat.id, seat]));
  return now.map((seat) => kept(known.get(seat.id), seat));
}

/** The seat as it was, or its instrument, where nothing of it changed: what is made of it is then kept too. */
function kept(before: PageSeat | undefined, now: PageSeat): PageSeat {
  if (!before) return now;
  const same = (a: unknown, b: unknown): boolean => JSON.stringify(a) === JSON.stringify(b);
  if (same(before, now)) return before;
  return same(before.instrument, now.instrument) ? { ...now, instrument: before.instrument } : now;
}

function listening<Listener>(all: Set<Listener>, listener: Listener): () => void {
  all.add(listener);
  return () => all.delete(listener);
}
