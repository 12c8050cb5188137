import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { Subject } from 'rxjs';
import { padCount } from '../../../src/instrument/instrument-pads.js';
import type { Rules } from '../../../src/instrument/types.js';
import type { How } from '../../../src/playing/note.js';
import { way, type SeatPlan, type Watch } from '../../../src/pipeline.js';
import { attendance, type Attendance } from '../../../src/ports/attendance/attendance.js';
import type { Engine, Source, Tell } from '../../../src/ports/contracts.js';
import { liveClock } from '../../../src/ports/live-clock.js';
import { startService, type Service } from '../../../src/ports/service.js';
import { readTakeFile } from '../../../src/ports/takes/read.js';
import { allOf } from '../../support/takes.js';
import { recordRoomTake } from '../../../src/ports/takes/room.js';
import { plainRoom, type RoomPlan } from '../../../src/room/plan.js';
import type { VoiceEvent } from '../../../src/room/voice.js';
import { noteLines } from '../../../src/takes/notes.js';
import { rerunRoom } from '../../../src/takes/room-rerun.js';
import { openRoomTake } from '../../../src/takes/room-take.js';
import { planRoomTakeBy } from '../../../src/takes/room-take-plan.js';
import { planTakeBy } from '../../../src/takes/take-plan.js';
import type { Seated } from '../../../src/time/alongside.js';
import { virtualClock, type Clock } from '../../../src/time/clock.js';
import type { Timed } from '../../../src/time/events.js';
import { SECOND, type Micros } from '../../../src/time/micros.js';
import type { AnyStage } from '../../../src/time/stage.js';
import type { WireEvent } from '../../../src/wire/scan.js';
import { lateTimers } from '../../support/late-timers.js';
import { handsOf, scansAll } from './hands.js';
import type { Move, Script } from './moves.js';
import { promises } from './promises.js';
import { numbersOf } from './script.js';
import {
  instrumentNamed,
  nameOf,
  planOf,
  ruleSets,
  sameShape,
  SEATS,
  swappedBuild,
  wireOf,
} from './seats.js';
import { ON_PURPOSE, wildLogic } from './wild-logic.js';

/** What became of a script. */
export interface Ran {
  /** The promise that was broken; null: all were kept. */
  readonly broken: string | null;
  /** So many moves were made until then. */
  readonly moves: number;
  /** How many events the sources and people put in. */
  readonly events: number;
  /** How many notes began, by what made them sound. */
  readonly notes: ReadonlyMap<How, number>;
}

/** A clock, and how its time goes by. */
interface Time {
  readonly clock: Clock;
  go(to: Micros): void;
  /** Nothing is called for so long. */
  sleep(length: Micros): void;
  /** Has the stop of the boards that scan be noticed, where alarms ring. */
  attend(source: Source, seat: number, plan: SeatPlan, tell: Tell): Source;
}

/** Time in which alarms ring up to 3 ms late, as Node's timers do. */
function lateTime(random: () => number): Time {
  const timers = lateTimers(random);
  const clock = liveClock(timers);
  const clocks = { date: () => timers.now(), uptime: () => timers.now() / 1_000, used: () => 0 };
  let attending: Attendance | null = null;
  return {
    clock,
    go: (to) => {
      timers.run(to / 1_000);
    },
    sleep: (length) => {
      timers.jump(length / 1_000);
    },
    attend(source, seat, { instrument, pads }, tell) {
      if (!scansAll(seat)) return source;
      attending ??= attendance({ clock, timers, clocks, tell });
      const of = { seat, name: nameOf(seat), instrument, pads, listens: null, patience: 0 };
      return attending.attend(source, [{ ...of, steady: SECOND, played: true, calibrated: false }]);
    },
  };
}

/** Time in which no alarm rings at all: what is due is done before the next event, as in a take run again. */
function quietTime(): Time {
  const clock = virtualClock();
  return { clock, go: () => undefined, sleep: () => undefined, attend: (source) => source };
}

const ROOM: RoomPlan = {
  voices: 24,
  scale: [0, 2, 4, 5, 7, 9, 11],
  duck: 9,
  mixes: plainRoom(SEATS).mixes.map((mix, seat) => ({
    ...mix,
    level: 0.8,
    pan: seat / 31,
    lead: seat === 4,
    mute: seat === 9,
  })),
};

/**
 * Plays a script through a real service and holds it to its promises, then runs the take that was written
 * meanwhile again.
 */
export async function run(script: Script): Promise<Ran> {
  const { seed, alarms } = script;
  const random = numbersOf(seed ^ 0x55);
  const rules = ruleSets(random);
  const time = alarms ? lateTime(random) : quietTime();
  const folder = mkdtempSync(join(tmpdir(), 'pluckwork-model-'));
  try {
    return await play(script, rules, time, folder);
  } finally {
    rmSync(folder, { recursive: true, force: true });
  }
}

async function play(
  { moves, mode, alarms }: Script,
  rules: readonly Rules[],
  { clock, go, sleep, attend }: Time,
  folder: string,
): Promise<Ran> {
  const seats = Array.from({ length: SEATS }, (_, seat) => ({
    name: nameOf(seat),
    plan: planOf(seat, rules[seat % rules.length]!),
  }));
  const played: VoiceEvent[] = [];
  let events = 0;
  const watched = promises(
    ROOM,
    seats.map(({ plan }) => plan.rules.voices.most),
  );
  const recorded = seats.map(({ name, plan }) => ({ ready: { seat: { name } }, plan }));
  const take = recordRoomTake(join(folder, 'room.take.jsonl'), recorded, ROOM);

  let engineFaults = 0;
  const flaky: Engine = {
    name: 'flaky',
    send: () => {
      if (engineFaults-- > 0) throw new Error(`the engine threw ${ON_PURPOSE}`);
    },
    close: () => Promise.resolve(),
  };
  const faults = { seat: -1, way: false };
  const boards = seats.map(() => new Subject<Seated<WireEvent>>());
  let further: ReturnType<typeof furtherEngine> | null = null;
  const gestures: number[] = [];
  const hands = handsOf(alarms);
  const tell: Tell = ({ level, what }) => {
    if (level === 'error' && !what.includes(ON_PURPOSE) && !what.includes('its step answered')) {
      watched.fail(`an error that nobody caused: ${what}`);
    }
    // The way begins again, and counts from 1.
    if (what.startsWith('the playing logic failed')) watched.restarted();
  };
  const service = startService({
    seats,
    room: ROOM,
    clock,
    engines: [flaky, watched.engine],
    sources: boards.map((events, seat) =>
      attend({ events, close: () => Promise.resolve() }, seat, seats[seat]!.plan, tell),
    ),
    tell,
    onReading: (event) => {
      events++;
      take.record(event);
    },
    onChange: (change) => {
      events++;
      take.record(change);
    },
    onVoice: (event) => played.push(event),
    onSeating: (event) => {
      events++;
      take.record(event);
    },
    onGesture: (seat) => gestures.push(seat),
    ...(mode === 'faults'
      ? {
          watchOf: (seat: number) =>
            failingLevels(() => faults.seat === seat && (faults.seat = -2) < 0),
          makeWay: (...parts: Parameters<typeof way>) =>
            failing(way(...parts), () => faults.way && !(faults.way = false)),
        }
      : {}),
  });

  const swap = (seat: number, files: Parameters<Service['swap']>[1]): void => {
    const most = files.rules?.voices.most;
    const work = (): void => {
      service.swap(seat, files);
    };
    if (most === undefined) work();
    else watched.around({ seat, most }, work);
  };

  function make(move: Move): void {
    const stamp = (lag = 0): Micros => clock.stamp(move.at - lag);
    switch (move.what) {
      case 'scan': {
        const { seat, lag, inputs, raws } = move;
        const t = stamp(lag);
        boards[seat]!.next({ type: 'seated', t, seat, event: { type: 'scan', t, inputs, raws } });
        return;
      }
      case 'note': {
        const { seat, on, voice, note, string } = move;
        const t = stamp();
        const more = { velocity: 100, strength: 0.7, string, fret: 0, how: 'pluck' } as const;
        const event: WireEvent = on
          ? { type: 'played', t, on, voice, note, ...more }
          : { type: 'played', t, on, voice, slurred: false };
        boards[seat]!.next({ type: 'seated', t, seat, event });
        return;
      }
      case 'gone': {
        const { seat, why } = move;
        const t = stamp();
        boards[seat]!.next({ type: 'seated', t, seat, event: { type: 'reset', t, why } });
        return;
      }
      case 'swap': {
        const { seat, rules: set, instrument: name, build: how } = move;
        stamp();
        const playing = service.seatAt(seat);
        if (!playing) return;
        const { plan, mix } = playing;
        const instrument = name === undefined ? undefined : instrumentNamed(name, plan.instrument);
        const pads = padCount(instrument ?? plan.instrument);
        const build = how && swappedBuild(seat, pads, how);
        const files = {
          ...(set === undefined ? {} : { rules: rules[set]! }),
          ...(instrument && { instrument }),
          ...(build === undefined ? {} : { build }),
        };
        if (!instrument || sameShape(instrument, plan.instrument)) swap(seat, files);
        else {
          // As a room does where a swap cannot carry it: the seat begins again in its slot.
          const fits = swappedBuild(
            seat,
            pads,
            wireOf(seat) === 'calibrated' ? 'calibrated' : 'none',
          );
          const next = { ...plan, ...files, pads: { ...plan.pads, pads, build: fits } };
          watched.around({ joins: seat, mix, most: next.rules.voices.most }, () => {
            service.join(seat, { name: nameOf(seat), plan: next }, mix);
          });
        }
        return;
      }
      case 'wish':
        stamp();
        watched.around({ wish: move.wish }, () => {
          service.change(move.wish);
        });
        return;
      case 'leave':
        stamp();
        watched.around({ leaves: move.seat }, () => {
          service.leave(move.seat);
        });
        return;
      case 'join': {
        const { seat, rules: set, mix: own } = move;
        stamp();
        const plan = planOf(seat, rules[set]!);
        const mix = { ...ROOM.mixes[seat]!, ...own };
        watched.around({ joins: seat, mix, most: plan.rules.voices.most }, () => {
          service.join(seat, { name: nameOf(seat), plan }, mix);
        });
        return;
      }
      case 'engine':
        if (further) {
          void service.removeEngine(further.engine);
          if (further.open.size > 0) watched.fail('an engine that goes is left sounding');
          further = null;
        } else {
          further = furtherEngine(watched.fail);
          service.addEngine(further.engine);
        }
        return;
      case 'silence':
        stamp();
        service.silence();
        return;
      case 'asleep':
        sleep(move.length);
        return;
      case 'engine-fault':
        engineFaults = move.times;
        return;
      case 'stage-fault':
        faults.seat = move.seat;
        return;
      case 'way-fault':
        faults.way = true;
        return;
      case 'still':
        stamp();
        // Nothing but the time, for clocks whose alarms never ring.
        service.change({ type: 'room-change' });
        watched.still((seat) => hands.areOff(seat, move.at));
        return;
    }
  }

  let made = 0;
  for (const move of moves) {
    go(move.at);
    hands.see(move);
    make(move);
    if (watched.broken() !== null) break;
    made++;
    if (made % 1_000 === 0) await new Promise((resolve) => setImmediate(resolve));
    for (const seat of gestures.splice(0))
      swap(seat, { rules: rules[(made + seat) % rules.length]! });
  }
  faults.way = false;
  await service.stop();
  if (played.at(-1)?.type !== 'silence') watched.fail('the end said nothing of silence');
  const left = new Set<number>();
  for (const event of played) {
    if (event.type === 'on') left.add(event.voice);
    else if (event.type === 'off') left.delete(event.voice);
  }
  if (left.size > 0) watched.fail(`${String(left.size)} voices sound after the end`);
  await take.close();
  if (mode === 'replay' && watched.broken() === null) {
    const other = await differs(take.path, played);
    if (other !== null) watched.fail(other);
  }
  return { broken: watched.broken(), moves: made, events, notes: watched.notes };
}

/** Runs a take again from what its file says, and nothing else. What is different from what was played, in words. */
async function differs(path: string, played: readonly VoiceEvent[]): Promise<string | null> {
  const none = (what: string): Promise<never> =>
    Promise.reject(new Error(`the take names ${what}`));
  const files = {
    instrument: none,
    build: none,
    rules: none,
    logic: wildLogic,
    carried: (own: Rules) => Promise.resolve(own),
  };
  const take = await planRoomTakeBy(openRoomTake(await readTakeFile(path), path), (header, name) =>
    planTakeBy(name, header, files, {}),
  );
  const problems: unknown[] = [];
  const again: VoiceEvent[] = [];
  const ran = rerunRoom(
    await allOf(take.take.events((problem) => problems.push(problem))),
    ...([take.seats, take.room, () => undefined] as const),
  );
  ran.subscribe((event) => again.push(event));
  if (problems.length > 0)
    return `the take has lines that cannot be read: ${JSON.stringify(problems[0])}`;
  const lines = (all: readonly VoiceEvent[]): string[] => {
    const line = noteLines(take.names);
    return all.flatMap((event) => line(event) ?? []);
  };
  return (
    firstOther('notes', lines(played), lines(again)) ??
    // Its own end is one more silence.
    firstOther('events', ...([played, again.slice(0, -1)].map(json) as [string[], string[]]))
  );
}

const json = (all: readonly VoiceEvent[]): string[] => all.map((event) => JSON.stringify(event));

function firstOther(
  what: string,
  live: readonly string[],
  again: readonly string[],
): string | null {
  for (let i = 0; i < Math.max(live.length, again.length); i++) {
    if (live[i] === again[i]) continue;
    return `${what} ${String(i)}: played ${live[i] ?? 'nothing'}, again ${again[i] ?? 'nothing'}`;
  }
  return null;
}

/** An engine that comes while others sound: what it hears begin it must hear end, and nothing else. */
function furtherEngine(fail: (what: string) => void) {
  const open = new Set<number>();
  const engine: Engine = {
    name: 'further',
    send: (event) => {
      if (event.type === 'on') open.add(event.voice);
      else if (event.type === 'off' && !open.delete(event.voice)) {
        fail(`an engine hears voice ${String(event.voice)} end that it did not hear begin`);
      }
    },
    close: () => Promise.resolve(),
  };
  return { engine, open };
}

/** The stage of levels that throws where it should. */
function failingLevels(now: () => boolean): Watch {
  return (stage) => (stage.name === 'levels' ? failing(stage, now) : stage);
}

function failing<E extends Timed, O>(stage: AnyStage<E, O>, now: () => boolean): AnyStage<E, O> {
  return {
    ...stage,
    step: (state, event) => {
      if (now()) throw new Error(`a stage threw ${ON_PURPOSE}`);
      return stage.step(state, event);
    },
  };
}
