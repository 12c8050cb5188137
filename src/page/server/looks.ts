import { FULL_TOUCH } from '../link/frames.js';
import { encodeHistory } from '../link/history-frame.js';
import { emptyLevels, encodeLevels, type LevelsFrame } from '../link/levels-frame.js';
import { RowsReader, SeatLook, VoicesReader } from '../link/memory-read.js';
import type { PageMemory } from '../link/memory.js';
import { encodeVoices } from '../link/voices-frame.js';
import type { Page } from './page.js';

/** Frames a second: fewer with many pages, so that all of them together stay cheap. */
export function framesPerSecond(pages: number): number {
  return pages < 5 ? 60 : pages < 17 ? 30 : 15;
}

/** What came of a seat since the frame before. */
interface FreshRows {
  readonly count: number;
  readonly missed: number;
  /** Its frame, where `lost` rows are missing. */
  encode(lost: number): Uint8Array;
  /** The same for a page that missed nothing. */
  readonly bytes: Uint8Array;
}

/** Reads the shared memory while pages look, and sends each frame to those that want it. Times in ms. */
export class Looks {
  readonly #memory: PageMemory;
  readonly #levels: LevelsFrame;
  readonly #peaks: Float32Array[];
  #seats: SeatLook[] = [];
  readonly #rows = new Map<number, RowsReader>();
  #frame = new Uint8Array();
  readonly #fresh = new Map<number, FreshRows>();
  #voices: VoicesReader | null = null;

  constructor(memory: PageMemory) {
    this.#memory = memory;
    this.#levels = emptyLevels(memory.sizes);
    this.#peaks = memory.sizes.map(({ pads }) => new Float32Array(pads));
  }

  /** Forgets what was in the memory before: somebody looks again. */
  begin(): void {
    this.#seats = this.#memory.sizes.map((_, seat) => new SeatLook(this.#memory, seat));
    this.#rows.clear();
    this.#voices = null;
  }

  /**
   * Reads what came since the last time, for `sendTo`.
   *
   * @param t the room's time, in µs
   */
  read(pages: Iterable<Page>, t: number): void {
    this.#readLevels(t);
    this.#readRows(pages);
  }

  /** Sends a page what was read last: once for each time that it was read, or rows are lost. */
  sendTo(page: Page, now: number): void {
    const behind = page.behind(now);
    if (!behind) page.send(this.#frame);
    const fresh = page.watching === null ? undefined : this.#fresh.get(page.watching);
    if (!fresh) return;
    if (behind) {
      page.missedRows += fresh.missed + fresh.count;
    } else if (page.missedRows > 0) {
      const bytes = fresh.encode(fresh.missed + page.missedRows);
      page.missedRows = 0;
      page.send(bytes);
    } else {
      page.send(fresh.bytes);
    }
  }

  #readLevels(t: number): void {
    const levels = this.#levels;
    levels.frame += 1;
    levels.t = t;
    this.#seats.forEach((look, seat) => {
      const into = levels.seats[seat]!;
      const peaks = this.#peaks[seat]!;
      look.peaks(peaks);
      // A byte holds 255 at most, and a level below rest is 0.
      for (let pad = 0; pad < peaks.length; pad++) {
        into.pads[pad] = Math.max(0, Math.min(255, Math.round(peaks[pad]! * FULL_TOUCH)));
      }
      look.touched(into.touched);
      for (let string = 0; string < into.notes.length; string++) {
        into.notes[string] = look.note(string);
        into.strengths[string] = look.strength(string);
      }
      into.begun = look.begun;
    });
    this.#frame = encodeLevels(levels);
  }

  /** Of each seat that some page watches. */
  #readRows(pages: Iterable<Page>): void {
    const watched = new Set<number>();
    for (const { watching } of pages) if (watching !== null) watched.add(watching);
    for (const seat of this.#rows.keys()) if (!watched.has(seat)) this.#rows.delete(seat);
    this.#fresh.clear();
    for (const seat of watched) {
      const reader = this.#rows.get(seat) ?? new RowsReader(this.#memory, seat);
      this.#rows.set(seat, reader);
      const { count, lost: missed, times, levels } = reader.read();
      if (count === 0 && missed === 0) continue;
      const { on, off } = this.#seats[seat]!.thresholds;
      const encode = (lost: number): Uint8Array =>
        encodeHistory({ seat, lost, on, off, times, levels });
      this.#fresh.set(seat, { count, missed, encode, bytes: encode(missed) });
    }
  }

  /** @param t the room's time, in µs */
  sendVoices(pages: Iterable<Page>, t: number, now: number): void {
    const listeners = [...pages].filter(({ sounding }) => sounding);
    if (listeners.length === 0) {
      this.#voices = null;
      return;
    }
    this.#voices ??= new VoicesReader(this.#memory);
    const { count, lost, bytes: records } = this.#voices.read();
    const fresh = count > 0 || lost > 0;
    for (const page of listeners) {
      if (page.behind(now)) {
        page.missedVoices ||= fresh;
      } else if (fresh || page.missedVoices) {
        const missed = lost > 0 || page.missedVoices;
        page.missedVoices = false;
        page.send(encodeVoices({ lost: missed, now: t, count, records }));
      }
    }
  }
}
