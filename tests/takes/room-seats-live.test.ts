import { mkdtempSync, readdirSync, readFileSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { Subject, type Subscription } from 'rxjs';
import { afterAll, describe, expect, it } from 'vitest';
import { PLAIN } from '../../src/instrument/rules.js';
import type { Seat } from '../../src/instrument/types.js';
import type { PlannedSeat } from '../../src/ports/connect.js';
import type { Engine } from '../../src/ports/contracts.js';
import { liveClock } from '../../src/ports/live-clock.js';
import { roomPlan } from '../../src/ports/room/plan.js';
import { recordRoom } from '../../src/ports/takes/room-recorder.js';
import { startService, type Service } from '../../src/ports/service.js';
import { allOf } from '../support/takes.js';
import { readTakeFile } from '../../src/ports/takes/read.js';
import { takePlayer } from '../../src/ports/takes/player.js';
import { planRoomTake } from '../../src/ports/takes/room-plan.js';
import type { VoiceEvent } from '../../src/room/voice.js';
import { demoReadings } from '../../src/demo/demo.js';
import { noteLines } from '../../src/takes/notes.js';
import { rerunRoom } from '../../src/takes/room-rerun.js';
import { seededNumbers } from '../../src/demo/gestures.js';
import type { Seated } from '../../src/time/alongside.js';
import type { WireEvent } from '../../src/wire/scan.js';
import { padCount } from '../../src/instrument/instrument.js';
import { planOf, shipped } from '../support/kinds.js';
import { lateTimers } from '../support/late-timers.js';

const directory = mkdtempSync(join(tmpdir(), 'pluckwork-room-seats-'));
afterAll(() => {
  rmSync(directory, { recursive: true, force: true });
});

function planned(name: string, kind: string): PlannedSeat {
  const seat: Seat = {
    name, instrument: kind, build: null, from: { player: 'demo' }, rules: 'plain',
    level: 0.8, pan: 0, mute: false, solo: false, lead: false, sound: null, switch: null, steady: null,
  };
  const instrument = shipped(kind);
  return {
    ready: { seat, instrument, build: null, rules: PLAIN, rulesFile: 'plain.yaml', choices: [], take: null },
    plan: planOf(instrument),
  };
}

const mixOf = ({ ready: { seat, instrument } }: PlannedSeat) => {
  const { level, pan, mute, solo, lead } = seat;
  return { level, pan, mute, solo, lead, sound: instrument.sound };
};

type Step = readonly [ms: number, act: (room: Room) => void];

interface Room {
  readonly service: Service;
  /** A seat joins, and is played from now on. */
  join(slot: number, seat: PlannedSeat): void;
  leave(slot: number): void;
}

/** Plays a bass in slot 0 for a while, and others that come and go beside it, with late timers. */
async function playRoom(folder: string, steps: readonly Step[], until: number) {
  const timers = lateTimers(seededNumbers(3));
  const clock = liveClock(timers);
  const first = [planned('north', 'bass-4x4'), planned('south', 'keys-13')];
  const room = roomPlan(
    { voices: 64, scale: null, duck: 9 },
    first.map(({ ready }) => ready),
  );
  const recorder = recordRoom(folder, first, room);
  const played: VoiceEvent[] = [];
  const readings = new Subject<Seated<WireEvent>>();
  const players = new Map<number, Subscription>();
  const begin = (slot: number, { plan: { instrument } }: PlannedSeat): void => {
    const events = demoReadings(instrument, padCount(instrument));
    const player = takePlayer(slot, events, clock, timers);
    players.set(slot, player.events.subscribe((event) => readings.next(event)));
  };
  const service = startService({
    seats: first.map(({ ready, plan }) => ({ name: ready.seat.name, plan })),
    room, clock, engines: [], tell: () => undefined,
    sources: [{ events: readings, close: () => Promise.resolve() }],
    onReading: recorder.reading,
    onChange: recorder.change,
    onSeating: recorder.seating,
    onVoice: (event) => {
      played.push(event);
      recorder.voice(event);
    },
  });
  first.forEach((seat, slot) => begin(slot, seat));
  const own: Room = {
    service,
    join(slot, seat) {
      players.get(slot)?.unsubscribe();
      const { ready, plan } = seat;
      service.join(slot, { name: ready.seat.name, plan }, mixOf(seat));
      begin(slot, seat);
    },
    leave(slot) {
      service.leave(slot);
      players.get(slot)?.unsubscribe();
    },
  };
  for (const [ms, act] of steps) {
    timers.run(ms);
    act(own);
  }
  timers.run(until);
  for (const player of players.values()) player.unsubscribe();
  await service.stop();
  return { played, files: (await recorder.close()).map(({ path }) => path) };
}

const STEPS: readonly Step[] = [
  [2_000, (room) => room.join(2, planned('west', 'drums-6'))],
  // A held note or two are cut.
  [5_100, (room) => room.leave(1)],
  [5_200, (room) => room.service.change({ type: 'seat-change', seat: 1, solo: true })],
  [6_000, (room) => room.join(1, planned('east', 'ukulele-4x6'))],
  [8_500, (room) => room.service.change({ type: 'seat-change', seat: 1, level: 0.3 })],
  // Another instrument of another kind and size, in the same slot at the same time.
  [9_300, (room) => room.join(2, planned('west', 'pipe-8'))],
  [12_000, (room) => room.join(3, planned('south', 'bass-4x4'))],
  [12_700, (room) => room.service.lose(3)],
  [14_000, (room) => room.leave(2)],
];
const UNTIL = 16_000;

const isNote = ({ type }: VoiceEvent): boolean => type === 'on' || type === 'off';
/**
 * What a seat played, but for the numbers of its voices. Times are those of all seats' stamps, which never
 * fall: a few microseconds, and what they change of strengths, hang on the others.
 */
const ofSeat = (played: readonly VoiceEvent[], seat: number): unknown[] =>
  played
    .filter((event) => isNote(event) && 'seat' in event && event.seat === seat)
    .map((event) => ({
      ...event, voice: 0, t: Math.round(event.t / 1_000),
      strength: 0, velocity: 0,
    }));

describe('a room whose seats come and go while it is played', () => {
  const live = playRoom(directory, STEPS, UNTIL);

  it('plays all of them, each note with one off', async () => {
    const { played } = await live;
    const open = new Map<number, number>();
    for (const event of played) {
      if (event.type === 'on') open.set(event.voice, event.seat);
      else if (event.type === 'off') expect(open.delete(event.voice)).toBe(true);
      else if (event.type === 'left') expect([...open.values()]).not.toContain(event.seat);
    }
    expect(open.size).toBe(0);
    for (const seat of [0, 1, 2, 3]) expect(ofSeat(played, seat).length).toBeGreaterThan(4);
    expect(played.filter(({ type }) => type === 'joined')).toHaveLength(4);
    expect(played.filter(({ type }) => type === 'left')).toHaveLength(3);
  });

  it('costs the seat that plays on nothing: its notes are those that it plays alone', async () => {
    const { played } = await live;
    const alone = await playRoom(join(directory, 'alone'), [], UNTIL);
    expect(ofSeat(played, 0)).toEqual(ofSeat(alone.played, 0));
  });

  it('gives the same again from its one take: every note of every seat, byte for byte', async () => {
    const { played } = await live;
    const path = join(directory, 'room.take.jsonl');
    const room = await planRoomTake(path, await readTakeFile(path), directory);
    const again: VoiceEvent[] = [];
    const problems: unknown[] = [];
    rerunRoom(
      await allOf(room.take.events((problem) => problems.push(problem))),
      room.seats,
      room.room,
      (_seat, _t, error) => problems.push(error),
    ).subscribe((event) => again.push(event));
    expect(problems).toEqual([]);
    const lineOf = noteLines(room.names);
    const notes = readFileSync(join(directory, 'notes.jsonl'), 'utf8');
    expect(again.flatMap((event) => lineOf(event) ?? []).join('\n')).toBe(notes.trimEnd());
    for (const name of ['north', 'south', 'west', 'east']) expect(notes).toContain(`"${name}"`);
    // And all else that engines were told; the take's own end is one more silence.
    expect(again.slice(0, played.length)).toEqual(played);
  });

  it('keeps a take of each from its join to its leave, and another for one that comes back', async () => {
    await live;
    expect(readdirSync(directory).filter((name) => name.endsWith('.jsonl'))).toEqual([
      ...['east.take.jsonl', 'north.take.jsonl', 'notes.jsonl', 'room.take.jsonl'],
      ...['south-2.take.jsonl', 'south.take.jsonl', 'west-2.take.jsonl', 'west.take.jsonl'],
    ]);
    const first = await readTakeFile(join(directory, 'west.take.jsonl'));
    const times = (await allOf(first.events(() => undefined))).map(({ t }) => t);
    expect(times.length).toBeGreaterThan(100);
    const pipe = await readTakeFile(join(directory, 'west-2.take.jsonl'));
    expect(pipe.header).toMatchObject({ instrument: { kind: 'holes' }, seat: 'west' });
    const [begun] = await allOf(pipe.events(() => undefined));
    expect(begun!.t).toBeGreaterThanOrEqual(times.at(-1)!);
  });
});

/** Remembers what it is sent. */
function listening(name: string): Engine & { readonly heard: VoiceEvent[]; closed: boolean } {
  const heard: VoiceEvent[] = [];
  return {
    name, heard, closed: false,
    send: (event) => void heard.push(event),
    close() {
      this.closed = true;
      return Promise.resolve();
    },
  };
}

describe('engines', () => {
  it('that come hear the notes that begin from then on, and those that go have theirs ended', async () => {
    const [late, gone] = [listening('late'), listening('gone')];
    let sounded = 0;
    const { played } = await playRoom(
      join(directory, 'engines'),
      [
        [2_000, ({ service }) => service.addEngine(gone)],
        [4_000, ({ service }) => service.change({ type: 'seat-change', seat: 1, level: 0.25 })],
        // Over a time in which something sounds all the while.
        ...[5_000, 5_037, 5_081, 5_133].map((ms): Step => [
          ms,
          ({ service }) => {
            const [engine, other] = [listening('a while'), listening('never')];
            service.addEngine(engine);
            expect(service.sounds()[1]).toMatchObject({ name: 'south', kind: 'keys', level: 0.25 });
            void service.removeEngine(engine);
            expect(engine.heard).toEqual([]);
            expect(engine.closed).toBe(true);
            void service.removeEngine(other);
            expect(other.closed).toBe(false);
          },
        ]),
        [6_000, ({ service }) => service.addEngine(late)],
        [
          9_050,
          ({ service }) => {
            const before = gone.heard.length;
            void service.removeEngine(gone);
            sounded = gone.heard.length - before;
            expect(gone.heard.slice(before).every(({ type }) => type === 'off')).toBe(true);
          },
        ],
      ],
      12_000,
    );
    for (const { heard } of [late, gone]) {
      const open = new Set<number>();
      for (const event of heard) {
        if (event.type === 'on') open.add(event.voice);
        else if (event.type === 'off') expect(open.delete(event.voice)).toBe(true);
      }
      expect(open.size).toBe(0);
      expect(heard.filter(({ type }) => type === 'on').length).toBeGreaterThan(3);
    }
    expect(sounded).toBeGreaterThan(0);
    expect(gone.closed).toBe(true);
    const ons = played.filter((event) => event.type === 'on' && event.t > 6_010_000);
    expect(late.heard.filter((event) => event.type === 'on' && event.t > 6_010_000)).toEqual(ons);
  });
});
