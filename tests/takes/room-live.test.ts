import { mkdtempSync, readFileSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, describe, expect, it } from 'vitest';
import type { Seat } from '../../src/instrument/types.js';
import type { PlannedSeat } from '../../src/ports/connect.js';
import { liveClock } from '../../src/ports/live-clock.js';
import { recordRoom } from '../../src/ports/takes/room-recorder.js';
import { roomPlan } from '../../src/ports/room/plan.js';
import { startService } from '../../src/ports/service.js';
import { readTakeFile } from '../../src/ports/takes/read.js';
import { takePlayer } from '../../src/ports/takes/player.js';
import { planRoomTake, seatOfTake } from '../../src/ports/takes/room-plan.js';
import type { Wish } from '../../src/room/change.js';
import type { VoiceEvent } from '../../src/room/voice.js';
import { seededNumbers } from '../../src/demo/gestures.js';
import { noteLines } from '../../src/takes/notes.js';
import { rerunRoom } from '../../src/takes/room-rerun.js';
import type { WireEvent } from '../../src/wire/scan.js';
import { BASS, bassPlan } from '../support/bass.js';
import { allOf, eventsIn } from '../support/takes.js';
import { busyTake } from '../support/busy-take.js';
import { lateTimers } from '../support/late-timers.js';

const directory = mkdtempSync(join(tmpdir(), 'pluckwork-room-take-'));
afterAll(() => {
  rmSync(directory, { recursive: true, force: true });
});

const SECONDS = 12;
const NAMES = ['north', 'south east', 'west "2"', 'far'];

function planned(name: string, own: Partial<Seat>, made = false): PlannedSeat {
  const seat: Seat = {
    name, instrument: 'bass', build: null, from: { player: 'demo' }, rules: 'plain',
    level: 0.8, pan: 0, mute: false, solo: false, lead: false, sound: null, switch: null, steady: null, ...own,
  };
  const plan = { ...bassPlan(), made };
  const { rules } = plan;
  return {
    ready: { seat, instrument: BASS, build: null, rules, rulesFile: 'plain.yaml', choices: [], take: null },
    plan,
  };
}

/** What one seat's wire brings: a take that is all plucks, and now and then something else. */
function* readings(seed: number, recorded: readonly WireEvent[]): Generator<WireEvent> {
  const random = seededNumbers(seed);
  for (const event of recorded) {
    yield event;
    const chance = random();
    if (chance < 0.001) yield { type: 'reset', t: event.t, why: 'overflow' };
    else if (chance < 0.0015) yield { type: 'reset', t: event.t, why: 'lost' };
    // Inputs that the board has and no pad is on.
    else if (chance < 0.01) yield { type: 'scan', t: event.t, inputs: [24, 31], raws: [7, 8] };
  }
}

function* notesFromAfar(): Generator<WireEvent> {
  for (let voice = 1; voice < 40; voice++) {
    const t = voice * 290_000;
    const note = 40 + ((voice * 5) % 20);
    const more = { velocity: 60 + voice, strength: voice / 40, string: voice % 3, fret: 0 };
    yield { type: 'played', t, on: true, voice, note, ...more, how: 'pluck' };
    if (voice % 7 === 0) continue;
    yield { type: 'played', t: t + 200_000, on: false, voice, slurred: false };
  }
}

const CHANGES: readonly (readonly [ms: number, wish: Wish | 'silence'])[] = [
  [2_500, { type: 'seat-change', seat: 0, lead: true }],
  [3_100, { type: 'seat-change', seat: 1, level: 0.25, pan: -1 }],
  [4_000, 'silence'],
  [5_000, { type: 'room-change', scale: [0, 2, 4, 7, 9], duck: 12 }],
  [6_200, { type: 'seat-change', seat: 2, mute: true }],
  [7_300, { type: 'seat-change', seat: 2, mute: false, sound: 40 }],
  [8_000, { type: 'seat-change', seat: 3, solo: true }],
  [8_600, { type: 'seat-change', seat: 3, solo: false }],
  [9_000, { type: 'room-change', voices: 3 }],
  [10_000, { type: 'room-change', scale: null }],
  [10_500, 'silence'],
];

describe('a room that is played live, with late timers, resets and changes', () => {
  const played: VoiceEvent[] = [];
  const live = (async () => {
    const timers = lateTimers(seededNumbers(3));
    const takes = await Promise.all(NAMES.map((_, i) => eventsIn(busyTake(SECONDS, i + 1))));
    const clock = liveClock(timers);
    const seats = NAMES.map((name, i) => planned(name, { pan: i / 4 }, name === 'far'));
    const room = roomPlan(
      { voices: 6, scale: [0, 2, 4, 5, 7, 9, 11], duck: 9 },
      seats.map(({ ready }) => ready),
    );
    const recorder = recordRoom(directory, seats, room);
    const service = startService({
      seats: seats.map(({ ready, plan }) => ({ name: ready.seat.name, plan })),
      room, clock, engines: [], tell: () => undefined,
      sources: seats.map((_, seat) =>
        takePlayer(seat, seat === 3 ? notesFromAfar() : readings(seat + 1, takes[seat]!), clock, timers),
      ),
      onReading: recorder.reading,
      onChange: recorder.change,
      onVoice: (event) => {
        played.push(event);
        recorder.voice(event);
      },
    });
    for (const [ms, wish] of CHANGES) {
      timers.run(ms);
      if (wish === 'silence') service.silence();
      else service.change(wish);
    }
    timers.run();
    await service.ended;
    return (await recorder.close()).map(({ path }) => path);
  })();
  const file = (name: string): string => readFileSync(join(directory, name), 'utf8');

  async function again() {
    await live;
    const path = join(directory, 'room.take.jsonl');
    const room = await planRoomTake(path, await readTakeFile(path), directory);
    const events: VoiceEvent[] = [];
    const problems: unknown[] = [];
    rerunRoom(
      await allOf(room.take.events((problem) => problems.push(problem))),
      room.seats,
      room.room,
      (_seat, _t, error) => problems.push(error),
    ).subscribe((event) => events.push(event));
    return { ...room, path, events, problems };
  }

  it('gives the same again from its one take: every note of every seat, byte for byte', async () => {
    const { events, names, problems } = await again();
    expect(problems).toEqual([]);
    expect(names).toEqual(NAMES);
    const notes = file('notes.jsonl');
    const lineOf = noteLines(names);
    expect(events.flatMap((event) => lineOf(event) ?? []).join('\n')).toBe(notes.trimEnd());
    // Of four seats, each was heard, and the shared limits were at work.
    for (const seat of NAMES) expect(notes).toContain(`"seat":${JSON.stringify(seat)}`);
    expect(notes.split('\n').length).toBeGreaterThan(300);
  });

  it('and all else that engines were told: levels, sounds, slurs, silences', async () => {
    const { events } = await again();
    // The take's own end is one more silence, at the time of the last.
    const last = events.at(-1)!;
    expect(last).toEqual({ type: 'silence', t: played.at(-1)!.t });
    expect(events.slice(0, -1)).toEqual(played);
    expect(played.filter(({ type }) => type === 'mix').length).toBeGreaterThan(10);
    expect(played.filter(({ type }) => type === 'silence').length).toBe(3);
  });

  it('of which one seat’s part is the take that was kept of that seat alone', async () => {
    const { path } = await again();
    for (const [name, kept] of [
      ['north', 'north'],
      ['south east', 'south-east'],
      ['west "2"', 'west-2-'],
      ['far', 'far'],
    ] as const) {
      const seat = seatOfTake(path, await readTakeFile(path), name, { by: '--seat' });
      const own = await readTakeFile(join(directory, `${kept}.take.jsonl`));
      const problems: unknown[] = [];
      const mine = await allOf(seat.events((problem) => problems.push(problem)));
      const theirs = await allOf(own.events((problem) => problems.push(problem)));
      expect(problems).toEqual([]);
      // A seat's own take has an empty scan where the room's says that the seat ended.
      const alike = (event: WireEvent): unknown =>
        event.type === 'reset' && event.why === 'end'
          ? { type: 'scan', t: event.t, inputs: [], raws: [] }
          : event;
      expect(mine.map(alike)).toEqual(theirs);
      // The room's has its rules whole, not their name.
      expect(seat.header).toMatchObject({ ...own.header, rules: { name: own.header.rules } });
    }
  });
});
