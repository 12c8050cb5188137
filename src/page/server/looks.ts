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

/** Reads the shared memory while pages look, and sends each frame to those that want it. Times in ms. */
export class Looks {
  readonly #memory: PageMemory;
  readonly #levels: LevelsFrame;
  readonly #peaks: Float32Array[];
  #seats: SeatLook[] = [];
  readonly #rows = new Map<number, RowsReader>();
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

  /** @param t the room's time, in µs */
  sendLevels(pages: Iterable<Page>, t: number, now: number): void {
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
    const bytes = encodeLevels(levels);
    for (const page of pages) if (!page.behind(now)) page.send(bytes);
  }

  /** To each page the rows of the seat that it watches. */
  sendHistory(pages: Iterable<Page>, now: number): void {
    const by = new Map<number, Page[]>();
    for (const page of pages) {
      if (page.watching === null) continue;
      by.set(page.watching, [...(by.get(page.watching) ?? []), page]);
    }
    for (const seat of this.#rows.keys()) if (!by.has(seat)) this.#rows.delete(seat);
    for (const [seat, watchers] of by) {
      const reader = this.#rows.get(seat) ?? new RowsReader(this.#memory, seat);
      this.#rows.set(seat, reader);
      const { count, lost, times, levels } = reader.read();
      if (count === 0 && lost === 0) continue;
      const { on, off } = this.#seats[seat]!.thresholds;
      const bytes = encodeHistory({ seat, lost, on, off, times, levels });
      for (const page of watchers) {
        if (page.behind(now)) {
          page.missedRows += lost + count;
        } else if (page.missedRows > 0) {
          const missed = lost + page.missedRows;
          page.missedRows = 0;
          page.send(encodeHistory({ seat, lost: missed, on, off, times, levels }));
        } else {
          page.send(bytes);
        }
      }
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
