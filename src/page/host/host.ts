import type { Ceiling } from '../../instrument/ceiling.js';
import type { Watch } from '../../pipeline.js';
import type { PlannedSeat } from '../../ports/connect.js';
import type { Engine, Tell } from '../../ports/contracts.js';
import type { ReadySeat } from '../../ports/files-room.js';
import { nodeTimers, type Timers } from '../../ports/live-clock.js';
import type { LiveRoom } from '../../ports/live-room.js';
import type { RulesChoice } from '../../ports/rules-choice.js';
import type { ScreenSource } from '../../ports/screen-source.js';
import type { Service } from '../../ports/service.js';
import type { Change } from '../../room/change.js';
import { changed, type RoomPlan } from '../../room/plan.js';
import type { VoiceEvent } from '../../room/voice.js';
import type { Seated } from '../../time/alongside.js';
import type { Clock } from '../../time/clock.js';
import type { WireEvent } from '../../wire/scan.js';
import { createMemory } from '../link/memory.js';
import { switched, type SwitchedEngine } from './engine-switch.js';
import { holds } from './holds.js';
import { hostState } from './host-state.js';
import { keeping } from './keeping.js';
import { HOST_PARTS, type HostState, type PageLink, type PageThreadData } from './messages.js';
import { notices } from './notices.js';
import { ordering } from './ordering.js';
import { posting } from './posting.js';
import { presses } from './presses.js';
import { readings } from './readings.js';
import { HostSeat, sizeOf } from './seats.js';
import { keepServing, type Serving } from './serving.js';
import { pageTap } from './tap.js';
import { startThread } from './thread.js';

export interface PageHostOptions extends Pick<
  PageThreadData,
  'folder' | 'port' | 'network' | 'takeFolders' | 'version' | 'seed'
> {
  /** The room as it was asked for: a name or a path. */
  readonly roomName: string;
  readonly planned: readonly PlannedSeat[];
  /** By seat, in a few words, where its readings come from. */
  readonly from: readonly string[];
  readonly room: RoomPlan;
  /** By engine, what its sound keeps to; null where it has no ceiling. */
  readonly ceilings: readonly (Ceiling | null)[];
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
  readonly screen: ScreenSource | null;
}

/**
 * The playing room's side of its page. Everything that it is told of it only notes: the room never
 * waits for a page, and no page's fault reaches it.
 */
export interface PageHost {
  /** Tells people, and keeps it for pages. */
  readonly tell: Tell;
  /** The engines, so that pages can turn them off. */
  engines(engines: readonly Engine[]): readonly Engine[];
  watchOf(seat: number): Watch;
  reading(event: Seated<WireEvent>): void;
  change(change: Change): void;
  voice(event: VoiceEvent): void;
  /** The files were read anew, and that has taken effect. */
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
  const { planned, folder, roomName, clock, timers = nodeTimers } = options;
  const seats = planned.map((one, i) => new HostSeat(one, options.from[i] ?? ''));
  const memory = createMemory(planned.map(({ plan }) => sizeOf(plan.instrument)));
  const tap = pageTap(memory);
  const kept = notices(options.tell, () => news('notices'));
  let room = options.room;
  let engines: readonly SwitchedEngine[] = [];
  let serving: Serving | null = null;
  let playing: Playing | null = null;
  let unlook: (() => void) | null = null;
  let closed = false;

  const held = holds(
    () => room,
    (wish) => playing?.service.change(wish),
  );
  const parts = hostState({
    ...{ roomName, folder, seats, ceilings: options.ceilings, notices: kept },
    room: () => room,
    engines: () => engines,
    ownMute: (seat) => held.ownMute(seat),
  });
  const state = posting(
    parts.make,
    (part, now) => serving?.post({ type: 'state', part, now } as never),
    timers,
  );
  const batches = readings(
    (batch) => serving?.post({ type: 'readings', ...batch }),
    () => serving?.keepsUp === true,
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
    if (engines.some((engine) => engine.loudness)) news('engines');
    unlook = timers.after(LOUDNESS_MS, tellLoudness);
  }

  function tellOutgrown(name: string): void {
    kept.tell({
      level: 'warn',
      what: 'The instrument has other pads now, and the page still draws the old one',
      where: `seat ${name}`,
      next: 'It plays all the same; the page draws it once you end the room and play it anew',
    });
  }

  function tellAll(): void {
    for (const part of HOST_PARTS) news(part);
    for (const [seat, { pagePlan }] of seats.entries()) {
      serving?.post({ type: 'plan', seat, plan: pagePlan });
    }
  }

  const data = (): PageThreadData => ({
    ...{ memory, folder, plans: seats.map(({ pagePlan }) => pagePlan) },
    ...{ network: options.network, takeFolders: options.takeFolders, port: options.port },
    ...{ origin: performance.timeOrigin, version: options.version, seed: options.seed },
    state: Object.fromEntries(
      HOST_PARTS.map((part) => [part, parts.make(part)]),
    ) as unknown as HostState,
  });

  function begin(own: Playing): void {
    playing = own;
    const pressing = presses(own.screen, seats);
    const files = keeping({ folder, roomName, whole: () => own.live.whole, tell: kept.tell });
    const orders = ordering({
      ...own,
      ...{ folder, presses: pressing, engines, seats, holds: held, keeping: files },
      ...{ look, readings: (asked) => batches.ask(asked), now: () => timers.now() },
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
        ...{ start: options.start ?? startThread, data, tell: kept.tell, timers },
        onMessage(message) {
          if (message.type === 'order') orders(message.id, message.order);
          else if (message.type === 'notice') kept.tell(message.notice);
          else if (message.type === 'serving') options.onServing(message.links);
        },
        onGone() {
          look(false);
          batches.stop();
          pressing.releaseAll();
          held.release();
        },
        onBack: tellAll,
      });
    });
  }

  return {
    tell: kept.tell,
    engines: (all) => (engines = all.map((engine) => switched(engine, seats.length, clock))),
    watchOf: (seat) => tap.watchOf(seat),
    reading(event) {
      const seat = seats[event.seat]!;
      const seen = seat.saw(event.event);
      if (seen !== null) news('seats');
      if (seen === 'swap') {
        serving?.post({ type: 'plan', seat: event.seat, plan: seat.pagePlan });
        if (seat.outgrown) tellOutgrown(seat.name);
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
    update(ready) {
      for (const [seat, one] of ready.entries()) seats[seat]?.update(one);
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
