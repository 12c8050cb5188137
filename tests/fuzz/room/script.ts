import { MILLISECOND, SECOND, type Micros } from '../../../src/time/micros.js';
import { seededNumbers } from '../../../src/demo/gestures.js';
import { garbage, GARBAGE_INPUTS, newBoard } from './boards.js';
import { scansAll, SILENT_AFTER, STILL_AFTER } from './hands.js';
import type { Happening, Move, Script } from './moves.js';
import { INSTRUMENTS, RULE_SETS, SEATS, wireOf } from './seats.js';

/** The same numbers for the same seed, and others for the next one. */
export function numbersOf(seed: number): () => number {
  const random = seededNumbers(Math.imul(seed + 1, 0x9e3779b1) ^ 0x5bd1e995);
  for (let i = 0; i < 20; i++) random();
  return random;
}

/**
 * Makes a script: a class of 32 plays, and all that can happen does, in so many moves.
 *
 * Every now and then nobody plays for five seconds: either hands are off and the boards go on, or the
 * boards stop. Sometimes the computer sleeps for up to an hour then.
 */
export function scriptOf(
  seed: number,
  length: number,
  { mode, alarms }: Pick<Script, 'mode' | 'alarms'>,
): Script {
  const random = numbersOf(seed);
  const moves: Move[] = [];
  const boards = Array.from({ length: SEATS }, (_, seat) => newBoard(seat, random));
  const nextScan = boards.map(() => 200 * MILLISECOND * random());
  const every = boards.map(() => (4 + 36 * random()) * MILLISECOND);
  /** What was arranged for later, in no order: there is little of it. */
  let later: Move[] = [];
  let now = 0;
  let playing = 0;

  const chance = (share: number): boolean => random() < share;
  const below = (most: number): number => Math.floor(random() * most);
  const pick = <T>(...from: readonly T[]): T => from[below(from.length)]!;
  const add = (at: Micros, what: Happening): number => moves.push({ at: Math.round(at), ...what });
  const laterOn = (at: Micros, what: Happening): number =>
    later.push({ at: Math.round(at), ...what });
  const lag = (): number => (chance(0.2) ? below(3_000) : 0);

  function stop(seat: number, t: Micros, length: Micros): void {
    nextScan[seat] = t + length;
    boards[seat]!.release(t);
    if (alarms && scansAll(seat)) return;
    laterOn(t + Math.min(length, SILENT_AFTER) * (0.2 + 0.8 * random()), {
      what: 'gone',
      seat,
      why: 'lost',
    });
  }

  /** Whatever people may do to the sharing while others play. */
  function wish(): Happening {
    if (chance(0.3)) {
      const scale = pick(null, [0], [0, 2, 4, 5, 7, 9, 11], [1, 6]);
      const all = { scale, duck: pick(0, 9, 60), voices: pick(1, 5, 20, 64) };
      return { what: 'wish', wish: { type: 'room-change', ...some(all) } };
    }
    const all = {
      level: pick(0, 0.5, 1),
      pan: pick(-1, 0, 1),
      sound: 1 + below(128),
      mute: chance(0.4),
      solo: chance(0.05),
      lead: chance(0.3),
    };
    return { what: 'wish', wish: { type: 'seat-change', seat: below(SEATS), ...some(all) } };
  }

  /** Some of the keys. */
  function some<T extends object>(all: T): Partial<T> {
    return Object.fromEntries(Object.entries(all).filter(() => chance(0.5))) as Partial<T>;
  }

  function swap(seat: number): Happening {
    const what = random();
    if (what < 0.7) return { what: 'swap', seat, rules: below(RULE_SETS) };
    if (what < 0.85)
      return {
        what: 'swap',
        seat,
        instrument: pick('retuned', 'retuned', 'retuned', ...INSTRUMENTS),
      };
    if (what < 0.95) return { what: 'swap', seat, build: pick('calibrated', 'none') };
    return { what: 'swap', seat, rules: below(RULE_SETS), instrument: pick(...INSTRUMENTS) };
  }

  /** Somebody goes, and sooner or later another one comes; or it comes while the first is there. */
  function seating(seat: number, t: Micros): void {
    const mix = { level: pick(0.5, 1), mute: chance(0.1), solo: chance(0.03), lead: chance(0.2) };
    const join = { what: 'join', seat, rules: below(RULE_SETS), mix } as const;
    if (chance(0.3)) add(t, join);
    else {
      add(t, { what: 'leave', seat });
      laterOn(t + 5 * SECOND * random(), join);
    }
  }

  /** The computer sleeps while people play on; some of what was sent meanwhile is there as it wakes. */
  function sleep(t: Micros): void {
    const length = Math.round((0.5 + 20 * random()) * SECOND);
    add(t, { what: 'asleep', length });
    for (const [seat, board] of boards.entries()) {
      for (let n = below(4); n > 0; n--) {
        const sent = board.scan(t + length * random(), 0);
        if (sent) laterOn(t + length, sent);
      }
      nextScan[seat] = t + length + every[seat]! * random();
    }
  }

  /** One move of a board in about 300 is followed by something else. */
  function incident(seat: number, t: Micros): void {
    const what = below(mode === 'faults' ? 21 : 17);
    if (what === 0) stop(seat, t, (0.1 + 8 * random()) * SECOND);
    else if (what === 1) for (let i = below(120); i > 0; i--) add(t, garbage(seat, lag(), random));
    else if (what === 2) add(t, garbage(seat, lag(), random));
    else if (what === 3) add(t, { what: 'gone', seat, why: pick('lost', 'overflow') });
    else if (what === 4) add(t, { what: 'silence' });
    else if (what === 5) add(t, { what: 'engine-fault', times: 1 + below(4) });
    else if (what <= 8) add(t, swap(seat));
    else if (what <= 12) add(t, wish());
    else if (what <= 14) seating(seat, t);
    else if (what === 15) add(t, { what: 'engine' });
    else if (what === 16) {
      if (chance(0.1)) sleep(t);
    } else if (what <= 19) add(t, { what: 'stage-fault', seat });
    else add(t, { what: 'way-fault' });
  }

  /** Hands are off for five seconds, or all boards stop. What the boards still send goes on. */
  function rest(t: Micros): void {
    const stops = chance(0.5);
    for (const [seat, board] of boards.entries()) {
      board.resting = true;
      board.release(t);
      // Notes of another computer whose ends got lost are ended where that computer goes away.
      if ((stops && !(alarms && scansAll(seat))) || wireOf(seat) === 'made') {
        laterOn(t + SILENT_AFTER * random(), { what: 'gone', seat, why: 'lost' });
      }
      // What was sent wrongly is put right: the board says of all its inputs how they are.
      if (['changes', 'decided'].includes(wireOf(seat))) {
        const inputs = Array.from({ length: GARBAGE_INPUTS }, (_, input) => input);
        const raws = inputs.map(() => 0);
        laterOn(t + 20 * MILLISECOND, { what: 'scan', seat, lag: 0, inputs, raws });
      }
    }
    const until =
      t + STILL_AFTER + 100 * MILLISECOND + (stops && chance(0.2) ? 3_600 * SECOND * random() : 0);
    if (stops) for (const seat of boards.keys()) nextScan[seat] = until + every[seat]! * random();
    laterOn(until, { what: 'still' });
  }

  /** What was arranged for a time that has come. */
  function arranged(t: Micros): void {
    const due = later.filter(({ at }) => at <= t).sort((a, b) => a.at - b.at);
    if (due.length === 0) return;
    later = later.filter(({ at }) => at > t);
    for (const move of due) {
      moves.push(move);
      if (move.what !== 'still') continue;
      for (const board of boards) board.resting = false;
      playing = moves.length;
    }
  }

  while (moves.length < length) {
    let seat = 0;
    for (let i = 1; i < SEATS; i++) if (nextScan[i]! < nextScan[seat]!) seat = i;
    const t = Math.max(now, nextScan[seat]!);
    arranged(t);
    now = t;
    nextScan[seat] = t + every[seat]! * (0.8 + 0.4 * random());
    const sent = boards[seat]!.scan(t, lag());
    if (sent) {
      add(t, sent);
      // A packet that comes twice.
      while (chance(0.005)) add(t, sent);
      if (!boards[seat]!.resting && chance(1 / 300)) incident(seat, t);
    }
    const restful = boards[0]!.resting;
    if (!restful && moves.length - playing > Math.min(8_000, length / 4)) rest(t);
  }
  return { seed, moves, mode, alarms };
}
