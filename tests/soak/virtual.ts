import { Subject } from 'rxjs';
import { PLAIN } from '../../src/instrument/rules.js';
import { liveClock } from '../../src/ports/live-clock.js';
import { startService } from '../../src/ports/service.js';
import { plainRoom } from '../../src/room/plan.js';
import type { VoiceOn } from '../../src/room/voice.js';
import { seededNumbers } from '../../src/demo/gestures.js';
import type { Seated } from '../../src/time/alongside.js';
import { SECOND, type Micros } from '../../src/time/micros.js';
import type { WireEvent } from '../../src/wire/scan.js';
import { promises } from '../fuzz/room/promises.js';
import { lateTimers } from '../support/late-timers.js';
import { classOf } from './cycles.js';
import { all, comparePhrase, type Compared } from './phrase.js';
import { growth, used, type Used } from './used.js';

/** A look at the room now and then. */
export interface Look extends Used {
  readonly hours: number;
  readonly scans: number;
  readonly notes: number;
  readonly timers: number;
}

export interface Soaked {
  readonly looks: readonly Look[];
  readonly scans: number;
  readonly notes: number;
  readonly phrase: Compared;
  /** What must not be, in words. */
  readonly broken: readonly string[];
}

export interface SoakOptions {
  readonly hours: number;
  /** Scans a second. */
  readonly rate: number;
  readonly seats: number;
  readonly look: (look: Look) => void;
}

/** So much may be in use more in the second half than in the second quarter. */
const MOST_GROWN = { heap: 4, rss: 40, handles: 2, timers: 2, threads: 0 } as const;
/** Which share of the notes must be the same as at the start, and how far velocities may have crept. */
const LEAST_SAME = 0.97;
const MOST_CREPT = 2;
/** Rules are saved again, levels moved and a silence asked for every so many minutes. */
const CHANGES = 10 * 60 * SECOND;

/**
 * A class plays for hours on virtual time, whose alarms ring as late as Node's do: each its piece over and
 * over, while rests wander.
 */
export async function soak({ hours, rate, seats, look }: SoakOptions): Promise<Soaked> {
  const players = classOf(seats, rate);
  const timers = lateTimers(seededNumbers(7));
  const clock = liveClock(timers);
  const room = { ...plainRoom(seats), voices: 64 };
  const kept = promises(
    room,
    players.map(({ plan }) => plan.rules.voices.most),
  );
  const boards = players.map(() => new Subject<Seated<WireEvent>>());
  const broken: string[] = [];
  let [scans, read, notes] = [0, 0, 0];
  /** By seat, the notes of the second time that its piece is played, and of the last. */
  const phrases = players.map(() => ({ first: [] as VoiceOn[], last: [] as VoiceOn[] }));
  const long: Micros = hours * 3_600 * SECOND;
  const begins = players.map(({ length }) => {
    const last = Math.floor(long / length) - 1;
    return { first: length, last: Math.max(1, last) * length };
  });

  const service = startService({
    seats: players.map(({ plan }, i) => ({ name: `seat ${String(i)}`, plan })),
    room,
    clock,
    engines: [kept.engine],
    sources: boards.map((events) => ({ events, close: () => Promise.resolve() })),
    tell: ({ level, what }) => {
      if (level !== 'info') kept.fail(`somebody was told: ${what}`);
    },
    onReading: ({ event }) => {
      if (event.type === 'scan') read++;
    },
    onVoice: (event) => {
      if (event.type !== 'on') return;
      notes++;
      const { seat, t } = event;
      const { first, last } = begins[seat]!;
      const { length } = players[seat]!;
      if (t >= first && t < first + length) phrases[seat]!.first.push(event);
      if (t >= last && t < last + length) phrases[seat]!.last.push(event);
    },
  });

  const every = SECOND / rate;
  const looks: Look[] = [];
  const lookEvery = long / 24;
  let [nextLook, nextChange] = [lookEvery, CHANGES];
  for (let k = 0; k * every < long && kept.broken() === null; k++) {
    for (let seat = 0; seat < seats; seat++) {
      const t = Math.round(k * every + (seat * every) / seats);
      timers.run(t / 1_000);
      const event = players[seat]!.scanAt(Math.round(k * every));
      const stamp = clock.stamp(t);
      scans++;
      boards[seat]!.next({ type: 'seated', t: stamp, seat, event: { ...event, t: stamp } });
    }
    const t = k * every;
    // In neither of the two pieces that are compared.
    if (t >= nextChange && t > 600 * SECOND && t < long - 600 * SECOND) {
      nextChange = t + CHANGES;
      const seat = Math.round(t / CHANGES) % seats;
      service.swap(seat, { rules: { ...PLAIN } });
      service.change({ type: 'seat-change', seat, level: 0.5, lead: true });
      service.change({ type: 'seat-change', seat, level: 1, lead: false });
      service.silence();
    }
    if (t < nextLook) continue;
    nextLook += lookEvery;
    await new Promise((resolve) => setImmediate(resolve));
    const now: Look = {
      hours: t / 3_600 / SECOND,
      scans,
      notes,
      timers: timers.waiting(),
      ...used(),
    };
    looks.push(now);
    look(now);
  }
  // Every board has stopped, and after five seconds nothing sounds.
  for (const seat of boards.keys()) {
    const t = clock.stamp();
    boards[seat]!.next({ type: 'seated', t, seat, event: { type: 'reset', t, why: 'lost' } });
  }
  timers.run(timers.now() + 5_000);
  kept.still(() => true);
  await service.stop();
  const wrong = kept.broken();
  if (wrong !== null) broken.push(wrong);
  if (timers.waiting() > 0) broken.push(`${String(timers.waiting())} alarms are still set`);
  if (read !== scans) broken.push(`${String(scans)} scans were sent, ${String(read)} read`);
  for (const key of ['heap', 'rss', 'handles', 'timers', 'threads'] as const) {
    const grown = growth(looks.map((one) => one[key]));
    if (grown > MOST_GROWN[key]) broken.push(`${key} grew by ${grown.toFixed(1)}`);
  }
  const phrase = all(
    phrases.map(({ first, last }, seat) => {
      const { first: a, last: b } = begins[seat]!;
      return comparePhrase([first, a], [last, b]);
    }),
  );
  if (phrase.same < LEAST_SAME * Math.max(phrase.first, phrase.last)) {
    broken.push(`only ${String(phrase.same)} notes are as at the start`);
  }
  if (Math.abs(phrase.creep) > MOST_CREPT)
    broken.push(`velocities crept by ${phrase.creep.toFixed(1)}`);
  return { looks, scans, notes, phrase, broken };
}
