import type { Ask } from '../../../src/page/link/asks.js';
import type { PageState } from '../../../src/page/link/state.js';
import type { Told } from '../../../src/page/link/told.js';
import { servePage, type ServedPage } from '../support/serve-page.js';
import { MadeUpLevels } from './made-up-levels.js';
import { madeUpState, madeUpVerdicts } from './made-up-state.js';

/** A room that is made up, for the seat view: with the history and the verdicts of the seat that is watched. */
export class MadeUpRoom {
  /** What is answered to the next wishes of a kind: words that refuse them. */
  readonly refuse = new Map<Ask['ask'], string>();
  /** Called with each wish that is not refused. */
  onAsk: (ask: Ask) => void = () => undefined;
  guest = false;
  readonly state: PageState = madeUpState();
  watched: number | null = null;
  private served: ServedPage | null = null;
  private timer: NodeJS.Timeout | null = null;

  /** All that pages asked for, in order. */
  get asks(): readonly Ask[] {
    return this.served?.asks ?? [];
  }

  /** Begins to serve; resolves to the page's address. */
  async serve(): Promise<string> {
    const served = await servePage({
      state: () => this.state,
      guest: () => this.guest,
      carryOut: (ask, tell) => this.carryOut(ask, tell),
    });
    this.served = served;
    const levels = new MadeUpLevels(this.state.seats);
    let last = performance.now();
    this.timer = setInterval(() => {
      const now = performance.now();
      const frames = levels.next(Math.min(500, now - last), this.watched);
      last = now;
      for (const frame of frames) served.tell(frame);
    }, 33);
    return served.url;
  }

  /** Breaks off every page's connection, as when the computer falls asleep. */
  cut(): void {
    this.served?.cut(false);
  }

  async close(): Promise<void> {
    if (this.timer) clearInterval(this.timer);
    await this.served?.close();
  }

  /** Tells every page a part of the state again. */
  tell<Part extends keyof PageState>(part: Part, now: PageState[Part]): void {
    Object.assign(this.state, { [part]: now });
    this.served?.tell({ told: part, now } as Told);
  }

  /** Changes one seat. */
  change(seat: number, more: Partial<PageState['seats'][number]>): void {
    // The made-up levels follow, as they hold the same array.
    const seats = this.state.seats as PageState['seats'][number][];
    seats[seat] = { ...seats[seat]!, ...more };
    this.tell('seats', seats);
  }

  private carryOut(ask: Ask, tell: (told: Told) => void): string | null {
    const refused = this.refuse.get(ask.ask) ?? null;
    if (refused !== null) return refused;
    if (ask.ask === 'watch') {
      this.watched = ask.seat;
      const seat = ask.seat === null ? undefined : this.state.seats[ask.seat];
      if (ask.seat !== null && seat) {
        tell({ told: 'verdicts', slice: seat.slice, pads: madeUpVerdicts(seat) });
      }
    }
    this.onAsk(ask);
    return null;
  }
}
