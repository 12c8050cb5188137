import type { Micros } from '../../time/micros.js';
import { framesPerSecond } from './looks.js';
import type { Page } from './page.js';

/** Voices are to be with a page within 10 ms of the event. */
const VOICES_MS = 4;
/** A thread that was held up for longer than this does not make up for the frames, in ms. */
const LATEST_MS = 50;

/**
 * Pages are sent a frame one after another, so far apart in ms. A send takes some 57 µs, so that 30 at once kept a core
 * of a small computer, and those who read them the other one, from the players for nearly 2 ms.
 */
const TURN_MS = 1;
/** All have had their turn in this share of the time to the next frame. */
const TURNS_SHARE = 0.5;

/** What it sends, and to whom. */
export interface Paced<P> {
  readonly pages: ReadonlySet<P>;
  readonly looks: {
    read(pages: Iterable<P>, t: Micros): void;
    sendTo(page: P, now: number): void;
    sendVoices(pages: Iterable<P>, t: Micros, now: number): void;
  };
  readonly state: { flush(now: number): void };
}

/** Sends levels at an even pace while somebody looks, and voices while somebody sounds them. */
export class Pace<P extends Pick<Page, 'sounding'>> {
  readonly #room: Paced<P>;
  readonly #roomTime: () => Micros;
  #due = 0;
  #levels: NodeJS.Timeout | null = null;
  #voices: NodeJS.Timeout | null = null;
  /** Pages that are still to be sent the last frame. */
  #waiting: P[] = [];
  #turn: NodeJS.Timeout | null = null;

  constructor(room: Paced<P>, roomTime: () => Micros) {
    this.#room = room;
    this.#roomTime = roomTime;
  }

  /** Pages have come or gone, or want something else. */
  update(): void {
    const { pages } = this.#room;
    const sounding = [...pages].some((page) => page.sounding);
    if (sounding) {
      this.#voices ??= setInterval(() => {
        this.#sendVoices();
      }, VOICES_MS);
    } else if (this.#voices) {
      clearInterval(this.#voices);
      this.#voices = null;
      this.#sendVoices();
    }
    if (pages.size > 0) {
      this.#schedule();
    } else if (this.#levels) {
      clearTimeout(this.#levels);
      this.#levels = null;
    }
  }

  stop(): void {
    if (this.#voices) clearInterval(this.#voices);
    if (this.#levels) clearTimeout(this.#levels);
    if (this.#turn) clearTimeout(this.#turn);
    this.#voices = null;
    this.#levels = null;
    this.#turn = null;
  }

  get #period(): number {
    return 1_000 / framesPerSecond(this.#room.pages.size);
  }

  #schedule(): void {
    if (this.#levels) return;
    const now = performance.now();
    const period = this.#period;
    this.#due = Math.max(this.#due + period, now - LATEST_MS);
    this.#levels = setTimeout(() => {
      this.#levels = null;
      this.#send();
      this.update();
    }, this.#due - now);
  }

  #send(): void {
    const { looks, pages, state } = this.#room;
    if (this.#turn) clearTimeout(this.#turn);
    // A thread that was held up still owes some the frame before.
    this.#sendTo(this.#waiting.length);
    looks.read(pages, this.#roomTime());
    this.#waiting = [...pages];
    this.#takeTurn(Math.ceil((pages.size * TURN_MS) / (TURNS_SHARE * this.#period)));
    state.flush(performance.now());
  }

  /** Sends the frame to so many pages, and to the next so many in the next turn. */
  #takeTurn(pages: number): void {
    this.#sendTo(pages);
    this.#turn = null;
    if (this.#waiting.length === 0) return;
    this.#turn = setTimeout(() => {
      this.#takeTurn(pages);
    }, TURN_MS);
  }

  #sendTo(count: number): void {
    const { looks, pages } = this.#room;
    const now = performance.now();
    for (const page of this.#waiting.splice(0, count)) {
      if (pages.has(page)) looks.sendTo(page, now);
    }
  }

  #sendVoices(): void {
    const { looks, pages } = this.#room;
    looks.sendVoices(pages, this.#roomTime(), performance.now());
  }
}
