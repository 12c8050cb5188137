import { FileFault, problemWhat } from '../../instrument/fault.js';
import type { Notice } from '../../ports/contracts.js';
import { tryBuild } from '../../ports/files/files.js';
import { homeOf, shown } from '../../ports/files/find.js';
import { fileNames } from '../../ports/takes/room-recorder.js';
import type { Micros } from '../../time/micros.js';
import type { FromPageThread, PageThreadData, ThreadSeat, ToPageThread } from '../host/messages.js';
import type { Ask } from '../link/asks.js';
import type { Told } from '../link/told.js';
import { GuideLead } from './guide-lead.js';
import type { Guides, GuidesOut } from './guides/guides.js';
import { Looks } from './looks.js';
import { Orders, type Answered } from './orders.js';
import type { Page } from './page.js';
import { Presses } from './presses.js';
import { Recorder } from './recorder.js';
import { RoomRecording } from './room-recording.js';
import { StateTeller } from './state-teller.js';
import { takesIn, type Takes } from './takes.js';

const NO_SEAT = 'This seat has left the room.';

/** What the room's pages are told and may ask for, without the network. Times in ms, but for `t`. */
export class RoomServer {
  readonly pages = new Set<Page>();
  readonly takes: Takes;
  readonly looks: Looks;
  readonly state: StateTeller;
  readonly #data: PageThreadData;
  /** By id. */
  readonly #seats: Map<number, ThreadSeat>;
  readonly #orders: Orders;
  readonly #presses = new Presses<Page>();
  readonly #recording: RoomRecording;
  readonly #guides: GuideLead<Page>;
  readonly #roomTime: () => Micros;
  /** Seats that some page watches, by id. */
  #watched: ReadonlySet<number> = new Set();
  #asked = '';

  constructor(
    data: PageThreadData,
    send: (message: FromPageThread) => void,
    makeGuides: (out: GuidesOut) => Guides,
    roomTime: () => Micros,
  ) {
    this.#data = data;
    this.#seats = new Map(data.seats.map((seat) => [seat.id, seat]));
    this.#roomTime = roomTime;
    const tell = (notice: Notice): void => {
      send({ type: 'notice', notice });
    };
    this.takes = takesIn(data.takeFolders, (list) => {
      this.state.set('takes', list);
    });
    this.looks = new Looks(data.voices);
    this.looks.seats(data.seats);
    this.state = new StateTeller(this.pages, {
      ...data.state,
      guide: null,
      recording: null,
      takes: [],
    });
    this.#orders = new Orders(send);
    this.#recording = new RoomRecording({
      recorder: new Recorder(data.takeFolders[0], tell),
      state: this.state,
      seats: this.#seats,
      tell,
      askForReadings: (answered) => {
        this.#askForReadings(answered);
      },
      kept: () => this.takes.refresh(),
    });
    this.#guides = new GuideLead<Page>({
      make: makeGuides,
      orders: this.#orders,
      plan: (seat) => this.#seats.get(seat)!.plan,
      name: (seat) => this.#seats.get(seat)!.name,
      at: (slot) => this.#at(slot)?.id,
      tell,
      build: (seat) => this.#buildOf(seat),
      tryBuild: (seat) => this.#tryBuild(seat),
      guide: (now) => {
        this.state.set('guide', now);
      },
      verdicts: (seat, pads) => {
        const { slice } = this.#seats.get(seat)!.memory.slice;
        this.#toWatchers(seat, { told: 'verdicts', slice, pads });
      },
      isOpen: (page) => this.pages.has(page),
    });
  }

  /** Takes in what the playing thread says. */
  hear(message: Exclude<ToPageThread, { type: 'close' }>): void {
    switch (message.type) {
      case 'state':
        this.state.set(message.part, message.now);
        if (message.part === 'room' && !message.now.playing) this.#recording.end(() => undefined);
        return;
      case 'seat':
        this.#seatIs(message.seat);
        break;
      case 'present':
        for (const id of this.#seats.keys()) if (!message.seats.includes(id)) this.#left(id);
        break;
      case 'readings':
        this.#recording.record(message.events, message.lost);
        this.#guides.events(message.events, message.lost);
        break;
      case 'answer':
        this.#orders.answer(message.id, message.refused);
        break;
    }
    this.#askForReadings();
  }

  /** A page has come. */
  join(page: Page, now: number): void {
    const { version, seed } = this.#data;
    page.tell({ told: 'hello', guest: page.guest, version, seed });
    this.state.tellAll(page);
    this.pages.add(page);
    if (this.pages.size === 1) {
      this.looks.begin();
      this.#orders.give({ ask: 'look', on: true });
    }
    this.#lookedAt();
    this.state.flush(now);
  }

  /** A page has gone: all that it held is let go of. */
  leave(page: Page): void {
    if (!this.pages.delete(page)) return;
    this.#letGo(page);
    this.#watch();
    if (this.pages.size === 0) this.#orders.give({ ask: 'look', on: false });
    this.#lookedAt();
  }

  /** Carries out what a page asks for; guests' wishes have been sorted out before. */
  carryOut(page: Page, ask: Ask, answered: Answered): void {
    if ('seat' in ask && ask.seat !== null && !this.#seats.has(ask.seat)) {
      answered(NO_SEAT);
      return;
    }
    switch (ask.ask) {
      case 'watch':
        page.watching = ask.seat;
        page.missedRows = 0;
        this.#watch();
        answered(null);
        return;
      case 'voices':
        page.sounding = ask.on;
        answered(null);
        return;
      case 'press':
        this.#presses.press(page, ask.seat, ask.pad);
        this.#orders.give(ask, answered);
        return;
      case 'release':
        if (this.#presses.release(page, ask.seat, ask.pad)) this.#orders.give(ask, answered);
        else answered(null);
        return;
      case 'guide':
        answered(this.#guides.ask(page, ask, this.#roomTime()));
        this.#askForReadings();
        return;
      case 'record':
        if (ask.do === 'end') this.#recording.end(answered);
        else answered(this.#recording.begin(ask.seat));
        return;
      default:
        this.#orders.give(ask, answered);
    }
  }

  /** To be called several times a second. */
  wake(now: number): void {
    this.#guides.wake(this.#roomTime());
    this.#askForReadings();
    for (const page of [...this.pages]) {
      page.wake(now);
      if (page.closing) this.leave(page);
      else if (page.lost(now)) this.#letGo(page);
    }
    this.state.flush(now);
  }

  /** To be called about once a second. */
  tellRecording(): void {
    this.#recording.tell();
  }

  /** The room has ended: what is recorded is kept, and pages learn of it all. */
  async end(): Promise<void> {
    await this.#recording.close();
    this.state.flush(performance.now(), true);
  }

  #letGo(page: Page): void {
    for (const { seat, pad } of this.#presses.leave(page)) {
      this.#orders.give({ ask: 'release', seat, pad });
    }
  }

  /** A seat has come, or is another one now in what it plays. */
  #seatIs(seat: ThreadSeat): void {
    const before = this.#seats.get(seat.id);
    this.#seats.set(seat.id, seat);
    const refitted = before?.memory.slice.slice !== seat.memory.slice.slice;
    if (refitted) this.#seatsAre();
    if (this.#watched.has(seat.id)) this.#guides.watch(seat.id, true);
    if (!before || !refitted) return;
    this.#guides.refitted(seat.id);
    this.#recording.refitted(seat.id);
  }

  /** A seat has left: whatever was still on at it ends. */
  #left(id: number): void {
    this.#presses.forget(id);
    this.#recording.left(id);
    this.#guides.left(id);
    this.#seats.delete(id);
    this.#seatsAre();
    for (const page of this.pages) if (page.watching === id) page.watching = null;
    this.#watch();
  }

  /** Other seats, or other pads: pages are to learn of it now. */
  #seatsAre(): void {
    this.looks.seats([...this.#seats.values()]);
    this.state.hurry('seats');
  }

  #at(slot: number): ThreadSeat | undefined {
    for (const seat of this.#seats.values()) if (seat.slot === slot) return seat;
    return undefined;
  }

  #askForReadings(answered?: () => void): void {
    const needs = this.#recording.needs;
    const seats = needs && [...new Set([...needs, ...this.#guides.needs])].sort((a, b) => a - b);
    const asked = seats?.join() ?? 'all';
    if (asked === this.#asked && !answered) return;
    this.#asked = asked;
    this.#orders.give({ ask: 'readings', seats }, answered);
  }

  #watch(): void {
    const now = new Set<number>();
    for (const { watching } of this.pages) if (watching !== null) now.add(watching);
    const before = this.#watched;
    this.#watched = now;
    for (const seat of before) if (!now.has(seat)) this.#guides.watch(seat, false);
    for (const seat of now) if (!before.has(seat)) this.#guides.watch(seat, true);
    this.#askForReadings();
  }

  #lookedAt(): void {
    const may = [...this.pages].some(({ guest }) => !guest);
    this.#guides.looked(may, this.#roomTime());
  }

  #toWatchers(seat: number, told: Told): void {
    const json = JSON.stringify(told);
    const now = performance.now();
    for (const page of this.pages) {
      if (page.watching === seat && !page.behind(now)) page.send(json);
    }
  }

  #tryBuild(seat: number): string | null {
    try {
      tryBuild(this.#buildOf(seat).name, this.#data.folder);
      return null;
    } catch (error) {
      if (!(error instanceof FileFault)) throw error;
      return error.problems
        .map((one) => `${one.file}: ${problemWhat(one)}. ${one.fix}.`)
        .join('\n');
    }
  }

  #buildOf(seat: number): { readonly name: string; readonly file: string } {
    const seats = this.state.get('seats');
    const { folder } = this.#data;
    const at = seats.findIndex(({ id }) => id === seat);
    const name = seats[at]?.build ?? fileNames(seats.map((one) => one.name))[at] ?? String(seat);
    return { name, file: shown(homeOf('build', name, folder), folder) };
  }
}
