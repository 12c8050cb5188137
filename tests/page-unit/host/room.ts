import { Subject } from 'rxjs';
import { vi } from 'vitest';
import { pageHost, type PageHost } from '../../../src/page/host/host.js';
import type { HostState, PageLink, ToPageThread } from '../../../src/page/host/messages.js';
import type { Engine, Notice } from '../../../src/ports/contracts.js';
import { planSeat } from '../../../src/ports/connect.js';
import { loadWholeRoom } from '../../../src/ports/files/room.js';
import { liveRoom } from '../../../src/ports/room/live.js';
import { roomPlan } from '../../../src/ports/room/plan.js';
import { rulesChoice } from '../../../src/ports/room/rules-choice.js';
import type { ScreenPlay } from '../../../src/ports/screen-source.js';
import { startService } from '../../../src/ports/service.js';
import type { VoiceEvent } from '../../../src/room/voice.js';
import type { Seated } from '../../../src/time/alongside.js';
import { virtualClock } from '../../../src/time/clock.js';
import type { WireEvent } from '../../../src/wire/scan.js';
import { lateTimers } from '../../support/late-timers.js';
import { FakeThread } from './fake-thread.js';
import { liveSeats } from '../../support/live-seats.js';

export const PADS = Array.from({ length: 20 }, (_, pad) => pad);
export const REST = 1_000;
export const SPAN = 600;

/** A room as its files have it, played in a time of its own, with a page whose thread is played by hand. */
export async function pageRoom(name: string, folder: string) {
  const whole = await loadWholeRoom(name, folder);
  const planned = whole.seats.map(planSeat);
  const events = new Subject<Seated<WireEvent>>();
  const clock = virtualClock();
  const timers = lateTimers(() => 0);
  const told: Notice[] = [];
  const voices: VoiceEvent[] = [];
  const played: Seated<WireEvent>[] = [];
  const threads: FakeThread[] = [];
  const links: (readonly PageLink[])[] = [];
  const hands: unknown[][] = [];
  const screen: ScreenPlay = {
    press: (...hand) => void hands.push(['press', ...hand]),
    release: (...hand) => void hands.push(['release', ...hand]),
    plug: (...hand) => void hands.push(['plug', ...hand]),
  };
  const engine: Engine = {
    name: 'kept',
    send: (event) => void voices.push(event),
    loudness: () => ({
      momentary: -Infinity,
      shortTerm: -20,
      integrated: -21,
      truePeak: -6,
      limiting: 0,
      mostLimiting: 0,
    }),
    close: () => Promise.resolve(),
  };
  const host: PageHost = pageHost({
    roomName: name,
    folder,
    planned,
    clock,
    timers,
    port: 8480,
    network: false,
    takeFolders: [],
    version: '1',
    seed: 1,
    room: roomPlan(whole.room, whole.seats),
    from: whole.seats.map(() => 'by hand'),
    tell: (notice) => void told.push(notice),
    onServing: (now) => void links.push(now),
    start(data) {
      const thread = new FakeThread(structuredClone(data));
      threads.push(thread);
      return thread;
    },
  });
  const { tell } = host;
  const engines = host.engines([engine], [{ peak: -1, loudness: -16 }]);
  const service = startService({
    seats: planned.map(({ ready, plan }) => ({ name: ready.seat.name, plan })),
    room: roomPlan(whole.room, whole.seats),
    sources: [{ events, close: () => Promise.resolve() }],
    engines,
    clock,
    tell,
    watchOf: (seat: number) => host.watchOf(seat),
    onReading(event) {
      played.push(event);
      host.reading(event);
    },
    onChange: (change) => host.change(change),
    onVoice: (event) => host.voice(event),
  });
  const rules = rulesChoice({ seats: whole.seats, folder, service, tell });
  const live = liveRoom({
    name,
    folder,
    whole,
    tell,
    apply: liveSeats(whole, folder, service, { rules, onSeats: (seats) => host.update(seats) }),
  });
  host.start({ service, rules, live, screen });
  await live.ready;
  const until = (check: () => void): Promise<void> => vi.waitFor(check, { timeout: 10_000 });
  await until(() => {
    if (threads.length === 0) throw new Error('no thread was started');
  });

  let t = 0;
  /** The raws of all pads, those of `held` at a full touch. */
  const scan = (seat: number, held: readonly number[] = []): void => {
    t = clock.stamp(t + 8_000);
    const raws = PADS.map((pad) => (held.includes(pad) ? REST + SPAN : REST));
    events.next({ type: 'seated', t, seat, event: { type: 'scan', t, inputs: PADS, raws } });
  };
  const scans = (seat: number, count: number, held: readonly number[] = []): void => {
    for (let n = 0; n < count; n++) scan(seat, held);
  };
  const pulsing = { on: true };
  const wait = (ms: number): void => {
    const end = timers.now() + ms;
    for (; timers.now() < end; timers.run(Math.min(end, timers.now() + 500))) {
      if (pulsing.on) thread().say({ type: 'alive' });
    }
  };
  const thread = (): FakeThread => threads.at(-1)!;
  /** A part of the state as the page's thread was told it last. */
  function state<Part extends keyof HostState>(part: Part): HostState[Part] {
    wait(200);
    const all = thread().heard.filter(
      (one): one is Extract<ToPageThread, { type: 'state' }> =>
        one.type === 'state' && one.part === part,
    );
    return (all.at(-1)?.now ?? thread().data.state[part]) as HostState[Part];
  }
  async function close(): Promise<void> {
    await service.stop();
    await live.close();
    const closing = host.close();
    for (const one of threads) one.exit();
    await closing;
  }
  return {
    host,
    service,
    live,
    threads,
    thread,
    told,
    voices,
    played,
    hands,
    links,
    timers,
    pulsing,
    events,
    clock,
    scan,
    scans,
    wait,
    state,
    until,
    close,
  };
}

export type PageRoomHands = Awaited<ReturnType<typeof pageRoom>>;
