import { join } from 'node:path';
import { afterAll, describe, expect, it } from 'vitest';
import type { SeatPlan } from '../../../src/pipeline.js';
import { planSeat } from '../../../src/ports/connect.js';
import { loadWholeRoom } from '../../../src/ports/files/room.js';
import { loadRules } from '../../../src/ports/files/files.js';
import { difference } from '../../../src/ports/room/difference.js';
import { startService } from '../../../src/ports/service.js';
import type { Notice } from '../../../src/ports/contracts.js';
import { planTake, takeHeader } from '../../../src/ports/takes/plan.js';
import { plainRoom } from '../../../src/room/plan.js';
import type { VoiceEvent } from '../../../src/room/voice.js';
import { demoReadings } from '../../../src/demo/demo.js';
import { rerun } from '../../../src/takes/rerun.js';
import { rulesAsWritten } from '../../../src/takes/rules-written.js';
import type { Seated } from '../../../src/time/alongside.js';
import { virtualClock } from '../../../src/time/clock.js';
import type { WireEvent } from '../../../src/wire/scan.js';
import { BASS, bassPlan } from '../../support/bass.js';
import { Subject } from 'rxjs';
import { newKit, sounding, stepping } from './modules.js';

const kit = newKit();
afterAll(() => {
  kit.remove();
});

const demo = [...demoReadings(BASS, 20)];

function heard(plan: SeatPlan): VoiceEvent[] {
  const out: VoiceEvent[] = [];
  rerun(demo, plan, (_seat, _t, error) => {
    throw error;
  }).subscribe((event) => out.push(event));
  return out;
}

function room(...rules: string[]): string {
  const seats = rules.map(
    (name, i) =>
      `  - { name: seat${String(i)}, instrument: bass-4x4, from: { player: demo }, rules: ${name} }\n`,
  );
  return kit.put('rooms/class.yaml', `seats:\n${seats.join('')}`);
}

describe('rules that name a module', () => {
  it.each(['strum', 'arpeggio'])('%s: play by it in a thread, the same each time', async (name) => {
    const rules = await loadRules(name, kit.folder);
    const { ready, plan } = planSeat((await loadWholeRoom(room(name), kit.folder)).seats[0]!);
    expect(ready.rules).toEqual(rules);
    const [one, two] = [heard(plan), heard(plan)];
    expect(two).toEqual(one);
    const ons = one.filter(({ type }) => type === 'on');
    expect(ons.length).toBeGreaterThan(50);
    expect(one.filter(({ type }) => type === 'off')).toHaveLength(ons.length);
    expect(one).not.toEqual(heard(bassPlan()));
  });

  it('are watched with all files of it', async () => {
    kit.put('rules/own.yaml', 'logic: ../own.ts\n');
    const module = kit.put('own.ts', `import './more.js';\n${sounding(40)}`);
    const more = kit.put('more.ts', 'export const one = 1;\n');
    const { files } = await loadWholeRoom(room('own'), kit.folder);
    expect(files).toEqual(expect.arrayContaining([module, more]));
  });

  it('are refused where it does not load or begin, at its own line and at the seat', async () => {
    kit.put('rules/own.yaml', 'logic: ../own.ts\n');
    const refused = async (): Promise<string> => {
      const error = await loadWholeRoom(room('plain', 'own'), kit.folder).catch((e: unknown) => e);
      return String(error);
    };
    kit.put('own.ts', 'export const begin = ;\n');
    expect(await refused()).toMatch(/class\.yaml:3:\d+: seats\[1\]\.rules[^]*own\.ts:1:22/);
    kit.put('own.ts', 'export const begin = () => null.x;\nexport const step = () => 0;\n');
    expect(await refused()).toMatch(/own\.ts:1:33: .*TypeError/);
    kit.put('rules/own.yaml', 'logic: ../none.ts\n');
    expect(await refused()).toMatch(/none\.ts: found no such file/);
  });

  it('go into a take with the module, and come out though its file has changed', async () => {
    kit.put('rules/own.yaml', 'logic: ../own.ts\n');
    kit.put('own.ts', sounding(61));
    const [seat] = (await loadWholeRoom(room('own'), kit.folder)).seats;
    const { plan } = planSeat(seat!);
    const played = heard(plan);
    kit.put('own.ts', sounding(72));
    const header = { ...takeHeader('seat0', plan, 'own'), rules: rulesAsWritten(plan.rules) };
    const kept = JSON.parse(JSON.stringify(header)) as typeof header;
    const path = join(kit.folder, 'x.take.jsonl');
    await expect(planTake(path, kept, kit.folder, {})).rejects.toThrow('never allowed to run here');
    const trusted = { knows: () => true, require: () => Promise.resolve() };
    const again = await planTake(path, kept, kit.folder, {}, trusted);
    expect(heard(again)).toEqual(played);
    const other = await planTake('x', kept, kit.folder, { rules: 'own' });
    expect(heard(other).find((event) => event.type === 'on')?.note).toBe(72);
  });
});

describe('a module that is saved while the room plays', () => {
  it('ends what sounded, and plays from the next touch; one with a mistake changes nothing', async () => {
    const sound = (note: number) => kit.put('own.ts', sounding(note));
    kit.put('rules/own.yaml', 'logic: ../own.ts\n');
    sound(61);
    const load = () => loadWholeRoom(room('own', 'plain'), kit.folder);
    let whole = await load();
    const seats = whole.seats
      .map(planSeat)
      .map(({ ready, plan }) => ({ name: ready.seat.name, plan }));
    const events = new Subject<Seated<WireEvent>>();
    const clock = virtualClock();
    const voices: VoiceEvent[] = [];
    const service = startService({
      seats,
      room: plainRoom(2),
      engines: [],
      clock,
      sources: [{ events, close: () => Promise.resolve() }],
      tell: ({ what }) => expect.fail(what),
      onVoice: (event) => voices.push(event),
    });
    const upTo = (from: number, to: number): void => {
      for (const event of demo.filter(({ t }) => t >= from && t < to)) {
        clock.stamp(event.t);
        for (const seat of [0, 1]) events.next({ type: 'seated', t: event.t, seat, event });
      }
    };
    const notes = (seat: number) =>
      voices.flatMap((e) => (e.type === 'on' && e.seat === seat ? [[e.t, e.note]] : []));
    upTo(0, 10e6);
    kit.put('own.ts', 'export const begin = ;\n');
    await expect(load()).rejects.toThrow(/own\.ts:1:22/);
    upTo(10e6, 12e6);
    sound(73);
    const now = await load();
    const { changed } = difference(whole, now);
    expect(changed.map(({ now: { seat } }) => seat.name)).toEqual([whole.seats[0]!.seat.name]);
    const before = voices.length;
    for (const { swap } of changed) service.swap(0, swap);
    whole = now;
    // The note that sounded ends at once, and not with the next touch.
    expect(voices.slice(before)).toEqual([expect.objectContaining({ type: 'off', note: 61 })]);
    const at = voices.at(-1)!.t;
    upTo(12e6, Infinity);
    await service.stop();
    const own = notes(0);
    expect(own.filter(([t]) => t! > 10e6 && t! < at).length).toBeGreaterThan(2);
    expect(own.filter(([t]) => t! > at).length).toBeGreaterThan(10);
    expect(own.every(([t, note]) => note === (t! <= at ? 61 : 73))).toBe(true);
    expect(difference(whole, await load()).changed).toEqual([]);
    const plain = heard(bassPlan()).flatMap((e) => (e.type === 'on' ? [[e.t, e.note]] : []));
    expect(notes(1)).toEqual(plain);
    const ons = voices.filter(({ type }) => type === 'on').length;
    expect(voices.filter(({ type }) => type === 'off')).toHaveLength(ons);
  });
});

describe('a room with a module that fails', () => {
  it.each([
    [
      'throws',
      '  if (event.t > 9e6) throw new Error("lost");',
      /Own logic failed: lost/,
      /own\.ts:3:28/,
    ],
    ['loops', '  while (event.t > 9e6) state.calls++;', /did not answer/, /own\.ts/],
  ])(
    '%s: ends its notes, says so once, and the other seat plays on',
    async (_, body, what, where) => {
      kit.put('rules/own.yaml', 'logic: ../own.ts\n');
      const play = stepping(`${body}
  return { state, out: 'pad' in event ? [{ type: 'on', string: 0, note: 61, strength: 1 }] : [] };`);
      kit.put('own.ts', play);
      const whole = await loadWholeRoom(room('own', 'plain'), kit.folder);
      const seats = whole.seats
        .map(planSeat)
        .map(({ ready, plan }) => ({ name: ready.seat.name, plan }));
      const events = new Subject<Seated<WireEvent>>();
      const told: Notice[] = [];
      const voices: VoiceEvent[] = [];
      const service = startService({
        seats,
        room: plainRoom(2),
        engines: [],
        clock: virtualClock(),
        sources: [{ events, close: () => Promise.resolve() }],
        tell: (notice) => told.push(notice),
        onVoice: (event) => voices.push(event),
      });
      for (const event of demo) {
        for (const seat of [0, 1]) events.next({ type: 'seated', t: event.t, seat, event });
      }
      await service.stop();
      expect(told.map((notice) => notice.what)).toEqual([expect.stringMatching(what)]);
      expect(told[0]!.where).toMatch(/^seat seat0, /);
      expect(told[0]!.where).toMatch(where);
      const of = (seat: number) => voices.filter((event) => 'seat' in event && event.seat === seat);
      const plain = heard(bassPlan()).flatMap((e) => (e.type === 'on' ? [[e.t, e.note]] : []));
      const notes = (seat: number) =>
        of(seat).flatMap((e) => (e.type === 'on' ? [[e.t, e.note]] : []));
      expect(notes(1)).toEqual(plain);
      // By its module before, by the built-in logic after.
      expect(notes(0).some(([t, note]) => t! < 9e6 && note === 61)).toBe(true);
      const late = notes(0).filter(([t]) => t! > 11e6);
      expect(late.length).toBeGreaterThan(5);
      expect(late).toEqual(plain.filter(([t]) => t! > 11e6));
      for (const seat of [0, 1]) {
        const ons = of(seat).filter(({ type }) => type === 'on').length;
        expect(of(seat).filter(({ type }) => type === 'off')).toHaveLength(ons);
      }
    },
  );
});
