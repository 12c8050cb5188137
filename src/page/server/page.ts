import type { WebSocket } from 'ws';
import { Budget } from '../../time/budget.js';
import { CLOSING } from '../link/closing.js';
import type { PageState } from '../link/state.js';
import type { Told } from '../link/told.js';
import type { Role } from './keys.js';
import type { Limits } from './limits.js';

export type Part = keyof PageState;

/** How long a page has to answer that it is closed, in ms. */
const LAST_WORDS_MS = 1_000;
/** The golden ratio's part behind the point: its multiples, taken around a circle, never come close together. */
const APART = 0.618;

/** One page's connection: what it wants to see, and what is still to be sent to it. Times in ms. */
export class Page {
  readonly guest: boolean;
  /** The id of the seat whose levels it sees in full. */
  watching: number | null = null;
  /** Whether it sounds the voices itself. */
  sounding = false;
  /** Parts of the state that it was not told the latest of. */
  readonly stale = new Set<Part>();
  /** The layout of frames that it was told last. */
  layout: number | null = null;
  /** Rows of the watched seat that were left out for it. */
  missedRows = 0;
  /** Voices were left out for it. */
  missedVoices = false;
  readonly asks: Budget;
  readonly refusals: Budget;
  readonly #socket: WebSocket;
  readonly #limits: Limits;
  /** When it was asked for a sign of life that has not come yet. */
  #asked: number | null = null;
  #nextAsk: number;
  /** Since when it has been behind. */
  #since: number | null = null;
  #closing = false;

  /** @param others so many pages are open already: each is asked at a time of its own, not all of them at once */
  constructor(socket: WebSocket, role: Role, limits: Limits, now: number, others: number) {
    this.guest = role === 'guest';
    this.#socket = socket;
    this.#limits = limits;
    this.#nextAsk = now + limits.pingMs * (1 - ((others * APART) % 1));
    this.asks = new Budget(limits.asks, now);
    this.refusals = new Budget(limits.refusals, now);
    socket.on('pong', () => (this.#asked = null));
  }

  get closing(): boolean {
    return this.#closing;
  }

  /** It gives no sign of life: the network to it may be gone, and with it the finger on a pad. */
  lost(now: number): boolean {
    return this.#asked !== null && now - this.#asked > this.#limits.lostMs;
  }

  /** Too much is on its way to it already: what comes many times a second is left out for it. */
  behind(now: number): boolean {
    const late = this.#asked !== null && now - this.#asked > this.#limits.lateMs;
    return this.#closing || late || this.#socket.bufferedAmount > this.#limits.behindBytes;
  }

  tell(told: Told): void {
    this.send(JSON.stringify(told));
  }

  send(data: string | Uint8Array): void {
    // A failed send is followed by the connection's own end, which is what counts.
    if (!this.#closing) this.#socket.send(data, () => undefined);
  }

  /** Asks for a sign of life now and then, and closes a page that gives none or does not read. */
  wake(now: number): void {
    if (this.#closing) return;
    this.#since = this.behind(now) ? (this.#since ?? now) : null;
    if (this.#since !== null && now - this.#since > this.#limits.slowMs) {
      this.close(CLOSING.slow, 'This page did not keep up for too long. Load it again.');
      return;
    }
    if (this.#asked === null && now >= this.#nextAsk) {
      this.#asked = now;
      // Counted from when it was due, since pages that were once asked together would stay so.
      this.#nextAsk = Math.max(now, this.#nextAsk + this.#limits.pingMs);
      this.#socket.ping(undefined, undefined, () => undefined);
    }
  }

  /** @param reason at most 123 bytes */
  close(code: number, reason: string): void {
    if (this.#closing) return;
    this.#closing = true;
    this.#socket.close(code, reason);
    // What else it says is not even read.
    if (code === CLOSING.flood) this.#socket.pause();
    setTimeout(() => {
      this.#socket.terminate();
    }, LAST_WORDS_MS).unref();
  }
}
