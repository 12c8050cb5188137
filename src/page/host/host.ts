import type { Ceiling } from '../../instrument/ceiling.js';
import type { Misfit } from '../../calibration/build-fit.js';
import type { Join, Watch } from '../../pipeline.js';
import type { PlannedSeat } from '../../ports/connect.js';
import type { Engine, Tell } from '../../ports/contracts.js';
import type { ReadySeat } from '../../ports/files/room.js';
import { nodeTimers, type Timers } from '../../ports/live-clock.js';
import type { LiveRoom } from '../../ports/room/live.js';
import type { RulesChoice } from '../../ports/room/rules-choice.js';
import type { ScreenPlay } from '../../ports/screen-source.js';
import type { Service } from '../../ports/service.js';
import type { Change } from '../../room/change.js';
import { changed, type RoomPlan, type SeatMix } from '../../room/plan.js';
import type { Leave } from '../../room/seating.js';
import type { VoiceEvent } from '../../room/voice.js';
import type { Seated } from '../../time/alongside.js';
import type { Clock } from '../../time/clock.js';
import type { WireEvent } from '../../wire/scan.js';
import { HostEngines } from './engines.js';
import { holds } from './holds.js';
import { hostState } from './host-state.js';
import { keeping } from './keeping.js';
import { HOST_PARTS, type HostState, type PageLink, type PageThreadData } from './messages.js';
import { notices } from './notices.js';
import { ordering } from './ordering.js';
import { posting } from './posting.js';
import { presses, type Presses } from './presses.js';
import { readings } from './readings.js';
import { Seating } from './seating.js';
import type { HostSeat } from './seats.js';
import { keepServing, type Serving } from './serving.js';
import { pageTap } from './tap.js';
import { startThread } from './thread.js';

export interface PageHostOptions extends Pick<
  PageThreadData,
  'folder' | 'port' | 'network' | 'takeFolders' | 'version' | 'seed'
> {
  /** The room as it was asked for: a name or a path. */
  readonly roomName: string;
  /** Those that play as it begins, in the slots from 0 on. */
  readonly planned: readonly PlannedSeat[];
  /** By seat, in a few words, where its readings come from. */
  readonly from: readonly string[];
  readonly room: RoomPlan;
  readonly clock: Clock;
  readonly tell: Tell;
  /** Told each time pages can be opened. */
  readonly onServing: (links: readonly PageLink[]) => void;
  readonly timers?: Timers;
  readonly start?: typeof startThread;
}

/** What pages work on, once it plays. */
export interface Playing {
  readonly service: Pick<Service, 'change' | 'swap' | 'silence'>;
  readonly rules: Pick<RulesChoice, 'named'>;
  readonly live: Pick<LiveRoom, 'reload' | 'whole'>;
  /** The units that are played on the page; null: there are none. */
  readonly screen: ScreenPlay | null;
}

/**
 * The playing room's side of its page. Everything that it is told of it only notes: the room never
 * waits for a page, and no page's fault reaches it. Seats are named by their slots.
 */
export interface PageHost {
  /** Tells people, and keeps it for pages. */
  readonly tell: Tell;
  /**
   * The engines that there are now, so that pages can turn them off. What a page has turned off stays so.
   *
   * @param ceilings by engine, what its sound keeps to; null where it has no ceiling
   * @returns the same engines with a switch: these are to be played through
   */
  engines(engines: readonly Engine[], ceilings: readonly (Ceiling | null)[]): readonly Engine[];
  /** For the seat that has the slot now. */
  watchOf(slot: number): Watch;
  /**
   * A seat has come: to be called before anything is heard of it.
   *
   * @param from in a few words, where its readings come from
   */
  join(slot: number, planned: PlannedSeat, from: string, mix: SeatMix): void;
  /** A seat has left: to be called after the last that is heard of it, before its source is closed. */
  leave(slot: number): void;
  /** A seat that stays gets another instrument, or its readings from elsewhere: to be called before. */
  reseat(slot: number, planned: PlannedSeat, from: string, mix: SeatMix): void;
  /** Sees who joins and leaves, in its place among readings and changes, for takes that pages record. */
  seating(event: Join | Leave): void;
  /** The slots, in the order in which the room file lists their seats. */
  order(slots: readonly number[]): void;
  reading(event: Seated<WireEvent>): void;
  change(change: Change): void;
  voice(event: VoiceEvent): void;
  /** Whether the build of the seat in a slot fits the unit that plays; null: it does, or nobody can tell. */
  misfit(slot: number, misfit: Misfit['kind'] | null): void;
  /** The files were read again, and that has taken effect. */
  update(seats: readonly ReadySeat[]): void;
  /** Begins to serve pages. */
  start(playing: Playing): void;
  /** The room has ended: pages are told so. */
  ended(): void;
  close(): Promise<void>;
}

/** How often pages are told how loud it is, while somebody looks. */
const LOUDNESS_MS = 500;

export function pageHost(options: PageHostOptions): PageHost {
  const { folder, roomName, clock, timers = nodeTimers } = options;
  const seats = new Seating();
  const tap = pageTap();
  const kept = notices(options.tell, () => news('notices'));
  const slots = (): number[] => seats.all.map(({ slot }) => slot);
  const engines = new HostEngines(slots, clock);
  let room = options.room;
  let serving: Serving | null = null;
  let playing: Playing | null = null;
  let pressing: Presses | null = null;
  let unlook: (() => void) | null = null;
  let closed = false;

  for (const [slot, planned] of options.planned.entries()) {
    tap.join(slot, seats.join(slot, planned, options.from[slot] ?? '').memory);
  }

  const held = holds(
    () => room,
    (wish) => playing?.service.change(wish),
  );
  const parts = hostState({
    roomName,
    folder,
    seats,
    engines,
    notices: kept,
    room: () => room,
    ownMute: (slot) => held.ownMute(slot),
  });
  const state = posting(
    parts.make,
    (part, now) => serving?.post({ type: 'state', part, now } as never),
    timers,
  );
  const batches = readings(
    (batch) => serving?.post({ type: 'readings', ...batch }),
    () => serving?.keepsUp === true,
    slots,
    timers,
  );

  /** A thread that starts later is given all of it. */
  function news(part: keyof HostState): void {
    if (serving) state.changed(part);
  }

  function lookForRules(): void {
    void parts.lookForRules().then((others) => {
      if (others) news('room');
    });
  }

  function look(on: boolean): void {
    tap.look(on);
    unlook?.();
    unlook = on ? timers.after(LOUDNESS_MS, tellLoudness) : null;
    if (on) lookForRules();
  }

  function tellLoudness(): void {
    if (engines.all.some(({ engine }) => engine.loudness)) news('engines');
    unlook = timers.after(LOUDNESS_MS, tellLoudness);
  }

  function tellSeat(seat: HostSeat): void {
    serving?.post({ type: 'seat', seat: seat.threadSeat });
  }

  function tellPresent(): void {
    serving?.post({ type: 'present', seats: seats.all.map(({ id }) => id) });
  }

  function tellAll(): void {
    tellPresent();
    for (const seat of seats.all) tellSeat(seat);
    for (const part of HOST_PARTS) news(part);
  }

  /** Its pads may be others now: what is pressed and what is shown of the old ones ends. */
  function fitted(seat: HostSeat): void {
    // What was read before is of the old ones.
    batches.flush();
    pressing?.releaseSeat(seat);
    tap.fit(seat.slot, seat.memory);
  }

  function mixed(slot: number, mix: SeatMix): void {
    const mixes = [...room.mixes];
    // Slots between those that are taken need a mix too, whatever it is.
    for (let i = mixes.length; i < slot; i++) mixes[i] = mix;
    mixes[slot] = mix;
    room = { ...room, mixes };
  }

  function leave(slot: number): void {
    const seat = seats.at(slot);
    if (!seat) return;
    // All that was read of it belongs to takes that it is in.
    batches.left(slot);
    pressing?.releaseSeat(seat);
    held.left(slot);
    tap.leave(slot);
    seats.leave(slot);
    tellPresent();
    news('seats');
  }

  const data = (): PageThreadData => ({
    voices: tap.voices,
    folder,
    seats: seats.all.map((seat) => seat.threadSeat),
    network: options.network,
    takeFolders: options.takeFolders,
    port: options.port,
    origin: performance.timeOrigin,
    version: options.version,
    seed: options.seed,
    state: Object.fromEntries(
      HOST_PARTS.map((part) => [part, parts.make(part)]),
    ) as unknown as HostState,
  });

  function begin(own: Playing): void {
    playing = own;
    const pressed = presses(own.screen);
    pressing = pressed;
    const files = keeping({ folder, roomName, whole: () => own.live.whole, tell: kept.tell });
    const orders = ordering({
      ...own,
      folder,
      presses: pressed,
      engines,
      seats,
      holds: held,
      keeping: files,
      look,
      now: () => timers.now(),
      readings: (ids) => batches.ask(ids && ids.flatMap((id) => seats.byId(id)?.slot ?? [])),
      changed(part, names) {
        if (names) parts.rulesAre(names);
        news(part);
      },
      answer: (id, refused) => serving?.post({ type: 'answer', id, refused }),
      tell: kept.tell,
      onFlood: () => serving?.fail('it asked for far too much'),
    });
    void parts.lookForRules().then(() => {
      if (closed) return;
      serving = keepServing({
        start: options.start ?? startThread,
        data,
        tell: kept.tell,
        timers,
        onMessage(message) {
          if (message.type === 'order') orders(message.id, message.order);
          else if (message.type === 'notice') kept.tell(message.notice);
          else if (message.type === 'serving') options.onServing(message.links);
        },
        onGone() {
          look(false);
          batches.stop();
          pressed.releaseAll();
          held.release();
        },
        onBack: tellAll,
      });
    });
  }

  return {
    tell: kept.tell,
    engines(all, ceilings) {
      news('engines');
      return engines.set(all, ceilings);
    },
    watchOf: (slot) => tap.watchOf(slot),
    join(slot, planned, from, mix) {
      leave(slot);
      const seat = seats.join(slot, planned, from);
      mixed(slot, mix);
      tap.join(slot, seat.memory);
      // What changed before it came must not be taken for its own.
      batches.flush();
      tellSeat(seat);
      news('seats');
    },
    leave,
    reseat(slot, planned, from, mix) {
      const seat = seats.at(slot);
      if (!seat) return;
      mixed(slot, mix);
      // While it still is played by the page, if it was.
      pressing?.releaseSeat(seat);
      seat.reseat(planned, from);
      fitted(seat);
      tellSeat(seat);
      news('seats');
    },
    seating: (event) => batches.seating(event),
    order(order) {
      seats.order(order);
      news('seats');
    },
    reading(event) {
      const seat = seats.at(event.seat);
      if (!seat) return;
      const seen = seat.saw(event.event);
      if (seen !== null) news('seats');
      if (seen === 'swap') {
        if (seat.fit()) fitted(seat);
        tellSeat(seat);
      }
      batches.reading(event);
    },
    change(event) {
      room = changed(room, event);
      held.saw(event);
      news(event.type === 'seat-change' ? 'seats' : 'room');
      batches.change(event);
    },
    voice: (event) => tap.voice(event),
    misfit(slot, misfit) {
      const seat = seats.at(slot);
      if (!seat) return;
      seat.misfit = misfit;
      news('seats');
    },
    update(ready) {
      for (const seat of seats.all) {
        const own = ready.find((one) => one.seat.name === seat.name);
        if (own) seat.update(own);
      }
      news('seats');
      lookForRules();
    },
    start: begin,
    ended() {
      batches.flush();
      parts.ended();
      news('room');
      state.flush();
    },
    async close() {
      closed = true;
      await serving?.close();
      state.stop();
      batches.stop();
      unlook?.();
    },
  };
}
