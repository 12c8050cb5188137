import { describe, expect, it } from 'vitest';
import { leastFor, raised } from '../../../src/pads/thresholds.js';
import type { LevelEvent } from '../../../src/pads/touch.js';
import { seatMemory } from '../../../src/page/link/memory.js';
import { RowsReader, SeatLook, VoicesReader } from '../../../src/page/link/memory-read.js';
import { pageTap } from '../../../src/page/host/tap.js';
import { seatWay, way, type SeatPlan, type Watch } from '../../../src/pipeline.js';
import { plainRoom } from '../../../src/room/plan.js';
import type { VoiceEvent } from '../../../src/room/voice.js';
import type { WireEvent } from '../../../src/wire/scan.js';
import { demoReadings } from '../../../src/demo/demo.js';
import { bassPlan, PLAIN } from '../../support/bass.js';

const PADS = Array.from({ length: 20 }, (_, pad) => pad);
const [REST, SPAN] = [1_000, 600];

function calibrated(): SeatPlan {
  const plan = bassPlan();
  const pads = PADS.map(() => ({ rest: REST, span: SPAN, noise: 4, coupling: [] }));
  return { ...plan, pads: { ...plan.pads, build: { wiring: PADS, pads } } };
}

/** One seat's way with a tap around it. */
function tapped(plan: SeatPlan) {
  const memory = seatMemory({ slice: 0, pads: 20, strings: 4 });
  const tap = pageTap();
  tap.join(0, memory);
  const stage = way([plan], plainRoom(1), () => undefined, undefined, tap.watchOf);
  let state: unknown = stage.begin();
  const voices: VoiceEvent[] = [];
  let t = 0;
  const play = (event: WireEvent): void => {
    const outcome = stage.step(state, { type: 'seated', t: event.t, seat: 0, event });
    state = outcome.state;
    for (const voice of outcome.out) {
      voices.push(voice);
      tap.voice(voice);
    }
  };
  const scan = (raws: readonly number[], inputs: readonly number[] = PADS): void => {
    t += 4_000;
    play({ type: 'scan', t, inputs, raws });
  };
  const rest = (count = 20): void => {
    for (let n = 0; n < count; n++) scan(PADS.map(() => REST));
  };
  return { memory, tap, play, scan, rest, voices, look: new SeatLook(memory), now: () => t };
}

describe('what the tap shows', () => {
  it('is every level that the pads stage gives, and the thresholds that they meet', () => {
    const plan = bassPlan();
    const { memory, tap, play } = tapped(plan);
    tap.look(true);
    // The same stage beside it, watched in the plain way.
    const seen: LevelEvent[] = [];
    const watch: Watch = (stage) => ({
      ...stage,
      step(state, event) {
        const outcome = stage.step(state, event);
        if (stage.name === 'levels') seen.push(...(outcome.out as unknown as LevelEvent[]));
        return outcome;
      },
    });
    const beside = seatWay(plan, undefined, undefined, watch);
    let state: unknown = beside.begin();
    const reader = new RowsReader(memory);
    const now = new Float32Array(20);
    let rows = 0;
    for (const event of demoReadings(plan.instrument, 20)) {
      if (event.t > 12_000_000) break;
      play(event);
      state = beside.step(state, event).state;
      const { times, levels, lost, count } = reader.read();
      expect(lost).toBe(0);
      const wanted = seen.splice(0).filter((one) => one.type === 'levels');
      expect(count).toBe(wanted.length);
      for (const [i, one] of wanted.entries()) {
        one.pads.forEach((pad, at) => (now[pad] = one.levels[at]!));
        expect(times[i]).toBe(one.t);
        expect(levels.subarray(i * 20, i * 20 + 20)).toEqual(now);
        rows += 1;
        const last = i === wanted.length - 1;
        if (!last) continue;
        const { on, off } = new SeatLook(memory).thresholds;
        one.pads.forEach((pad, at) => {
          const { touch } = PLAIN;
          const own = raised(touch, leastFor(PLAIN) * one.noise[at]!);
          expect([on[pad], off[pad]]).toEqual([Math.fround(own.on), Math.fround(own.off)]);
        });
      }
    }
    expect(rows).toBeGreaterThan(2_000);
  });

  it('is nothing of levels and voices while nobody looks, but all that goes on to who then looks', () => {
    const { memory, tap, scan, rest, look, voices } = tapped(calibrated());
    const [rows, records] = [new RowsReader(memory), new VoicesReader(tap.voices)];
    const touched = new Uint8Array(20);
    rest();
    for (let n = 0; n < 5; n++) scan(PADS.map((pad) => (pad === 19 ? REST + SPAN : REST)));
    expect(voices.filter(({ type }) => type === 'on')).toHaveLength(1);
    expect(rows.read().count).toBe(0);
    expect(records.read().count).toBe(0);
    look.touched(touched);
    expect([touched[19], touched[18]]).toEqual([1, 0]);
    expect(look.note(3)).toBe(28);
    expect(look.begun).toBe(1);

    // A wire that tells only changes tells one pad now: the others are where they were left.
    tap.look(true);
    scan([REST + SPAN / 2], [0]);
    const { count, levels } = rows.read();
    expect(count).toBe(1);
    expect(levels[19]).toBeCloseTo(1, 1);
    expect(levels[0]).toBeCloseTo(0.5, 1);
    tap.look(false);
    rest();
    expect(rows.read().count).toBe(0);
    look.touched(touched);
    look.touched(touched);
    expect([...touched]).toEqual(PADS.map(() => 0));
  });

  it('is no touch of a unit that went away, nor of one whose seat began again', () => {
    const { memory, tap, scan, rest, look, play, now } = tapped(calibrated());
    tap.look(true);
    const touched = new Uint8Array(20);
    const isTouched = (): number => {
      look.touched(touched);
      look.touched(touched);
      return touched[19]!;
    };
    const hold = (): void => {
      for (let n = 0; n < 5; n++) scan(PADS.map((pad) => (pad === 19 ? REST + SPAN : REST)));
    };
    rest();
    hold();
    expect(isTouched()).toBe(1);
    const reader = new RowsReader(memory);
    play({ type: 'reset', t: now(), why: 'lost' });
    expect(isTouched()).toBe(0);
    expect([...reader.read().levels]).toEqual(PADS.map(() => 0));

    rest(200);
    hold();
    expect(isTouched()).toBe(1);
    play({ type: 'swap', t: now(), build: calibrated().pads.build });
    expect(isTouched()).toBe(0);
  });

  it('of another instrument is in memory of its own, from the first level on', () => {
    const plan = calibrated();
    const { memory, tap, scan, rest, play, now } = tapped(plan);
    tap.look(true);
    rest();
    const before = new RowsReader(memory);
    const small = seatMemory({ slice: 1, pads: 5, strings: 1 });
    const { instrument } = plan;
    if (instrument.kind !== 'strings') throw new Error('no bass');
    const strings = [{ ...instrument.strings[0]!, frets: [0, 1, 2, 3], pluck: 4 }];
    tap.fit(0, small);
    const after = new RowsReader(small);
    play({ type: 'swap', t: now(), instrument: { ...instrument, strings } });
    // The build does not fit it, so that it is calibrated again, 300 ms long.
    const five = [0, 1, 2, 3, 4];
    for (let n = 0; n < 100; n++) scan([REST, REST, REST, REST, REST], five);
    expect(after.read().count).toBeGreaterThan(0);
    for (let n = 0; n < 5; n++) scan([REST, REST, REST, REST, REST + SPAN], five);
    expect(before.read().count).toBe(0);
    const rows = after.read();
    expect(rows.count).toBe(5);
    expect(rows.levels).toHaveLength(25);
  });

  it('of a seat that has left is nothing, and its slot shows the next one', () => {
    const { memory, tap, scan, rest, look } = tapped(calibrated());
    tap.look(true);
    rest();
    const rows = new RowsReader(memory);
    const next = seatMemory({ slice: 1, pads: 20, strings: 4 });
    tap.leave(0);
    tap.join(0, next);
    const others = new RowsReader(next);
    // What its stages still say is of the seat that has left.
    scan(PADS.map(() => REST));
    expect(others.read().count).toBe(0);
    rows.read();
    tap.voice({
      type: 'on',
      t: 1,
      voice: 1,
      seat: 0,
      note: 40,
      velocity: 90,
      strength: 1,
      string: 2,
      fret: 1,
      how: 'pluck',
    });
    expect(look.note(2)).toBe(255);
    expect(new SeatLook(next).note(2)).toBe(40);
    tap.leave(0);
    expect(tap.watchOf(0)).toBeTypeOf('function');
  });

  it('changes nothing of what is played', () => {
    const plan = bassPlan();
    const { play, voices, tap } = tapped(plan);
    const stage = way([plan], plainRoom(1), () => undefined);
    let state: unknown = stage.begin();
    const alone: VoiceEvent[] = [];
    for (const event of demoReadings(plan.instrument, 20)) {
      if (event.t > 12_000_000) break;
      tap.look(event.t % 2_000_000 < 1_000_000);
      play(event);
      const outcome = stage.step(state, { type: 'seated', t: event.t, seat: 0, event });
      state = outcome.state;
      alone.push(...outcome.out);
    }
    expect(alone.length).toBeGreaterThan(20);
    expect(voices).toEqual(alone);
  });
});
