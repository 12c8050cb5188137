import type { Micros } from '../../time/micros.js';
import { framesPerSecond } from './looks.js';
import type { RoomServer } from './room-server.js';

/** Voices are to be with a page within 10 ms of the event. */
const VOICES_MS = 4;
/** A thread that was held up for longer than this does not make up for the frames, in ms. */
const LATEST_MS = 50;

/** Sends levels at an even pace while somebody looks, and voices while somebody sounds them. */
export class Pace {
  readonly #room: RoomServer;
  readonly #roomTime: () => Micros;
  #due = 0;
  #levels: NodeJS.Timeout | null = null;
  #voices: NodeJS.Timeout | null = null;

  constructor(room: RoomServer, roomTime: () => Micros) {
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
    this.#voices = null;
    this.#levels = null;
  }

  #schedule(): void {
    if (this.#levels) return;
    const now = performance.now();
    const period = 1_000 / framesPerSecond(this.#room.pages.size);
    this.#due = Math.max(this.#due + period, now - LATEST_MS);
    this.#levels = setTimeout(() => {
      this.#levels = null;
      this.#send();
      this.update();
    }, this.#due - now);
  }

  #send(): void {
    const { looks, pages, state } = this.#room;
    const now = performance.now();
    looks.sendLevels(pages, this.#roomTime(), now);
    looks.sendHistory(pages, now);
    state.flush(now);
  }

  #sendVoices(): void {
    const { looks, pages } = this.#room;
    looks.sendVoices(pages, this.#roomTime(), performance.now());
  }
}
