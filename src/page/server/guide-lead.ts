import { MILLISECOND, type Micros } from '../../time/micros.js';
import type { RoomTakeEvent } from '../../takes/room-line.js';
import type { PagePlan } from '../host/messages.js';
import type { Ask } from '../link/asks.js';
import type { Notice } from '../../ports/contracts.js';
import type { PadVerdict, PageGuide } from '../link/state.js';
import type { Guides, GuidesOut } from './guides/guides.js';
import type { Orders } from './orders.js';

type GuideAsk = Extract<Ask, { ask: 'guide' }>;

/**
 * Readings come in batches, a few milliseconds after they were read. Guides are told the time so much
 * later, so that it does not run ahead of them.
 */
const BEHIND: Micros = 150 * MILLISECOND;

/** What guides need of the rest. Seats are named by their ids. */
export interface GuideLeadParts<Page> {
  readonly make: (out: GuidesOut) => Guides;
  readonly orders: Orders;
  plan(seat: number): PagePlan;
  name(seat: number): string;
  /** Who has a slot now. */
  at(slot: number): number | undefined;
  tell(notice: Notice): void;
  /** The name under which a seat's build is written, and where that is. */
  build(seat: number): { readonly name: string; readonly file: string };
  /** Why a seat's build could not be written, in words; null: it could. */
  tryBuild(seat: number): string | null;
  guide(now: PageGuide | null): void;
  verdicts(seat: number, pads: readonly PadVerdict[]): void;
  isOpen(page: Page): boolean;
}

/** Leads the guides by what pages ask for: each belongs to the page that began it. */
export class GuideLead<Page> {
  readonly #parts: GuideLeadParts<Page>;
  readonly #guides: Guides;
  #latest: Micros = 0;
  #owner: Page | null = null;
  /** The seat that is silent meanwhile. */
  #held: number | null = null;
  #now: PageGuide | null = null;

  constructor(parts: GuideLeadParts<Page>) {
    this.#parts = parts;
    this.#guides = parts.make({
      guide: (now) => {
        this.#guide(now);
      },
      build: (seat, build) => {
        const { name, file } = parts.build(seat);
        parts.orders.give({ ask: 'build', seat, build, name }, (refused) => {
          this.#guides.built(seat, refused === null ? { file } : { fault: refused });
        });
      },
      verdicts: parts.verdicts,
    });
  }

  get needs(): readonly number[] {
    return this.#guides.needs;
  }

  /** @returns why not, in words; null where it was done */
  ask(page: Page, { seat, guide, do: step }: GuideAsk, t: Micros): string | null {
    const owner = this.#owner;
    const other = owner !== null && owner !== page && this.#parts.isOpen(owner) && this.#busy();
    // Anybody may end it: the page that began it may stand open in another room.
    if (other && step !== 'end') {
      return 'These steps were begun on another page. Go on there, or end them here and begin again.';
    }
    if (step === 'begin') {
      const unwritable = this.#parts.tryBuild(seat);
      if (unwritable !== null) return unwritable;
      const refused = this.#guides.begin(seat, guide, this.#parts.plan(seat), this.#time(t));
      if (refused === null) this.#owner = page;
      return refused;
    }
    const refused = this.#guides.do(seat, step, this.#time(t));
    if (refused === null) this.#owner = page;
    return refused;
  }

  /** Whether verdicts on a seat's pads are wanted; again where its plan has changed. */
  watch(seat: number, on: boolean): void {
    this.#guides.watch(seat, on ? this.#parts.plan(seat) : null);
  }

  /** Whether a page is open that may lead a guide. */
  looked(on: boolean, t: Micros): void {
    this.#guides.looked(on, this.#time(t));
  }

  /** A seat has left: a guide that was on there is over, and people are told so. */
  left(seat: number): void {
    const { guide } = this.#now ?? {};
    if (this.#busy() && this.#now?.seat === seat) {
      this.#parts.tell({
        level: 'warn',
        what: `${guide === 'wire' ? 'Learning the wiring' : 'Calibrating'} has ended, since the seat has left the room; nothing was written`,
        where: `seat ${this.#parts.name(seat)}`,
        next: 'Put the seat back into the room file, then begin again',
      });
    }
    this.#guides.left(seat);
  }

  /** A seat plays an instrument with other pads: what a guide has learned is of the old ones. */
  refitted(seat: number): void {
    const { instrument } = this.#parts.plan(seat);
    this.#guides.scan(seat, { type: 'swap', t: this.#latest, instrument });
  }

  /** Takes in readings: their seats are slots. */
  events(events: readonly RoomTakeEvent[], lost: readonly number[]): void {
    const needs = new Set(this.#guides.needs);
    const needed = (slot: number): number | null => {
      const seat = this.#parts.at(slot);
      return seat !== undefined && needs.has(seat) ? seat : null;
    };
    for (const slot of lost) {
      const seat = needed(slot);
      if (seat !== null) this.#guides.gap(seat, this.#latest);
    }
    for (const event of events) {
      const seat = event.type === 'seated' ? needed(event.seat) : null;
      if (event.type !== 'seated' || seat === null) continue;
      this.#latest = Math.max(this.#latest, event.t);
      const own = event.event;
      this.#guides.scan(seat, own.t < this.#latest ? { ...own, t: this.#latest } : own);
    }
  }

  wake(t: Micros): void {
    this.#guides.wake(this.#time(t));
  }

  #time(t: Micros): Micros {
    return (this.#latest = Math.max(this.#latest, t - BEHIND));
  }

  #busy(): boolean {
    return this.#now !== null && this.#now.phase !== 'done' && this.#now.phase !== 'failed';
  }

  #guide(now: PageGuide | null): void {
    this.#now = now;
    const held = now !== null && this.#busy() ? now.seat : null;
    if (held !== this.#held) {
      if (this.#held !== null) {
        this.#parts.orders.give({ ask: 'hold', seat: this.#held, on: false });
      }
      if (held !== null) this.#parts.orders.give({ ask: 'hold', seat: held, on: true });
      this.#held = held;
    }
    this.#parts.guide(now);
  }
}
