import { HOST_PARTS } from '../host/messages.js';
import type { PageState } from '../link/state.js';
import type { Page, Part } from './page.js';

/** How much of the state is sent to all pages together, at most, in bytes a second. */
const BYTES_PER_SECOND = 4_000_000;
/** And to one page. */
const PAGE_BYTES_PER_SECOND = 400_000;
/** A part that changes all the time is not sent more often than this, in ms. */
const LEAST_PAUSE = 50;
const LONGEST_PAUSE = 2_000;

const PARTS: readonly Part[] = [...HOST_PARTS, 'guide', 'recording', 'takes'];

/**
 * Tells pages the state. Only the latest of each part is kept, so that however fast it changes, and
 * however slowly a page reads, nothing piles up. Times in ms.
 */
export class StateTeller {
  readonly #parts = new Map<Part, { now: unknown; json: string | null; next: number }>();
  readonly #pages: ReadonlySet<Page>;

  constructor(pages: ReadonlySet<Page>, state: PageState) {
    this.#pages = pages;
    for (const part of PARTS) this.#parts.set(part, { now: state[part], json: null, next: 0 });
  }

  get<P extends Part>(part: P): PageState[P] {
    return this.#parts.get(part)!.now as PageState[P];
  }

  set<P extends Part>(part: P, now: PageState[P]): void {
    const own = this.#parts.get(part)!;
    own.now = now;
    own.json = null;
    for (const page of this.#pages) page.stale.add(part);
  }

  /** What changes of this part next is sent at once, whatever was sent of it before. */
  hurry(part: Part): void {
    this.#parts.get(part)!.next = 0;
  }

  /** All of it, for a page that has just come. */
  tellAll(page: Page): void {
    for (const part of PARTS) page.send(this.#json(part));
  }

  /** Sends what has changed to whom it is due; `last`: to everybody who reads, whatever is due. */
  flush(now: number, last = false): void {
    for (const [part, own] of this.#parts) {
      if (now < own.next && !last) continue;
      let pages = 0;
      for (const page of this.#pages) {
        if (!page.stale.has(part) || page.behind(now)) continue;
        page.stale.delete(part);
        page.send(this.#json(part));
        pages += 1;
      }
      if (pages === 0) continue;
      const bytes = own.json?.length ?? 0;
      const pause = Math.max(
        (1_000 * bytes * pages) / BYTES_PER_SECOND,
        (1_000 * bytes) / PAGE_BYTES_PER_SECOND,
      );
      own.next = now + Math.min(LONGEST_PAUSE, Math.max(LEAST_PAUSE, pause));
    }
  }

  #json(part: Part): string {
    const own = this.#parts.get(part)!;
    return (own.json ??= JSON.stringify({ told: part, now: own.now }));
  }
}
