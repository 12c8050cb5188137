import { FULL_TOUCH, type Layout } from '../link/frames.js';
import { encodeHistory } from '../link/history-frame.js';
import { encodeLevels, levelsOf, NO_LAYOUT, type LevelsFrame } from '../link/levels-frame.js';
import { RowsReader, SeatLook, VoicesReader } from '../link/memory-read.js';
import type { SeatMemory } from '../link/memory.js';
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

/** A seat as it can be looked at. */
export interface LookedAt {
  readonly id: number;
  readonly memory: SeatMemory;
}

/** What is kept of a seat's memory from frame to frame. */
interface Looked {
  readonly memory: SeatMemory;
  readonly look: SeatLook;
  readonly peaks: Float32Array;
  /** Reads every row while some page watches the seat. */
  rows: RowsReader | null;
}

/** Reads the shared memory while pages look, and sends each frame to those that want it. Times in ms. */
export class Looks {
  readonly #voiceMemory: SharedArrayBuffer;
  /** By id. */
  #seats: ReadonlyMap<number, Looked> = new Map();
  /** Those that there will be from the next frame on; null: the same. */
  #next: readonly LookedAt[] | null = null;
  #layout: Layout = NO_LAYOUT;
  #levels: LevelsFrame = levelsOf(NO_LAYOUT);
  #frame = new Uint8Array();
  /** By id. */
  readonly #fresh = new Map<number, FreshRows>();
  #voices: VoicesReader | null = null;

  /** @param voices the memory of the room's voices */
  constructor(voices: SharedArrayBuffer) {
    this.#voiceMemory = voices;
  }

  /** These are the seats from the next frame on. Those that stay are looked at as before. */
  seats(now: readonly LookedAt[]): void {
    this.#next = now;
  }

  /** Forgets what was in the memory before: somebody looks again. */
  begin(): void {
    this.#next ??= [...this.#seats].map(([id, { memory }]) => ({ id, memory }));
    this.#seats = new Map();
    this.#layOut();
    this.#voices = null;
  }

  /**
   * Reads what came since the last time, for `sendTo`.
   *
   * @param t the room's time, in µs
   */
  read(pages: Iterable<Page>, t: number): void {
    // Pages get a frame one after another, so that the layout must stay until the next one.
    this.#layOut();
    this.#readLevels(t);
    this.#readRows(pages);
  }

  /** Sends a page what was read last: once for each time that it was read, or rows are lost. */
  sendTo(page: Page, now: number): void {
    const behind = page.behind(now);
    if (!behind) {
      this.#tellLayout(page);
      page.send(this.#frame);
    }
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

  #tellLayout(page: Page): void {
    const { layout } = this.#layout;
    if (page.layout === layout) return;
    page.layout = layout;
    page.tell({ told: 'layout', ...this.#layout });
  }

  #layOut(): void {
    const next = this.#next;
    if (!next) return;
    this.#next = null;
    const before = this.#seats;
    this.#seats = new Map(
      next.map(({ id, memory }) => {
        const own = before.get(id);
        return [id, own?.memory.slice.slice === memory.slice.slice ? own : lookedAt(memory)];
      }),
    );
    const slices = next.map(({ memory }) => memory.slice);
    const same =
      slices.length === this.#layout.slices.length &&
      slices.every(({ slice }, i) => slice === this.#layout.slices[i]?.slice);
    if (same) return;
    this.#layout = { layout: this.#layout.layout + 1, slices };
    this.#levels = levelsOf(this.#layout, this.#levels);
  }

  #readLevels(t: number): void {
    const levels = this.#levels;
    levels.frame += 1;
    levels.t = t;
    for (const { memory, look, peaks } of this.#seats.values()) {
      const into = levels.slices.get(memory.slice.slice)!;
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
    }
    this.#frame = encodeLevels(levels);
  }

  /** Of each seat that some page watches. */
  #readRows(pages: Iterable<Page>): void {
    const watched = new Set<number>();
    for (const { watching } of pages) if (watching !== null) watched.add(watching);
    this.#fresh.clear();
    for (const [id, seat] of this.#seats) {
      if (!watched.has(id)) {
        seat.rows = null;
        continue;
      }
      seat.rows ??= new RowsReader(seat.memory);
      const { count, lost: missed, times, levels } = seat.rows.read();
      if (count === 0 && missed === 0) continue;
      const { slice } = seat.memory.slice;
      const { on, off } = seat.look.thresholds;
      const encode = (lost: number): Uint8Array =>
        encodeHistory({ slice, lost, on, off, times, levels });
      this.#fresh.set(id, { count, missed, encode, bytes: encode(missed) });
    }
  }

  /** @param t the room's time, in µs */
  sendVoices(pages: Iterable<Page>, t: number, now: number): void {
    const listeners = [...pages].filter(({ sounding }) => sounding);
    if (listeners.length === 0) {
      this.#voices = null;
      return;
    }
    this.#voices ??= new VoicesReader(this.#voiceMemory);
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

function lookedAt(memory: SeatMemory): Looked {
  const peaks = new Float32Array(memory.slice.pads);
  return { memory, look: new SeatLook(memory), peaks, rows: null };
}
