import { readdirSync } from 'node:fs';
import { basename } from 'node:path';
import { describe, expect, it } from 'vitest';
import { explainText } from '../../src/commands/explain/text.js';
import { describeRules } from '../../src/instrument/rules.js';
import type { SeatPlan } from '../../src/pipeline.js';
import { readTakeFile } from '../../src/ports/takes/read.js';
import { planTake } from '../../src/ports/takes/plan.js';
import type { Change } from '../../src/room/change.js';
import type { RoomPlan } from '../../src/room/plan.js';
import { plainRoom } from '../../src/room/plan.js';
import { explain, type Explanation } from '../../src/explain/explain.js';
import { again } from '../../src/explain/again.js';
import { otherRules } from '../../src/explain/others.js';
import { otherRooms } from '../../src/explain/rooms.js';
import { inWords } from '../../src/explain/in-words.js';
import { notesOf as ofSeat, watchRun } from '../../src/explain/run.js';
import type { RoomTakeEvent } from '../../src/takes/room-line.js';
import { isChange } from '../../src/room/change.js';
import { rerunRoom } from '../../src/takes/room-rerun.js';
import type { VoiceEvent } from '../../src/room/voice.js';
import type { WireEvent } from '../../src/wire/scan.js';
import { BASS, bassPlan, PLAIN } from '../support/bass.js';
import { busyTake } from '../support/busy-take.js';
import { shipped } from '../support/kinds.js';
import { allOf, atOnce, eventsIn } from '../support/takes.js';
import {
  decidedBy,
  explainAt,
  notesOf,
  planOf,
  press,
  rulesWith,
  scansOf,
  seated,
  spelled,
  TITLES,
  toldOf,
} from './hands.js';

const folder = new URL('../takes/cases/', import.meta.url).pathname;
const CASES = readdirSync(folder)
  .filter((file) => file.endsWith('.take.jsonl'))
  .map((file) => basename(file, '.take.jsonl'));

async function recorded(name: string): Promise<{ events: WireEvent[]; plan: SeatPlan }> {
  const path = `${folder}${name}.take.jsonl`;
  const take = await readTakeFile(path);
  const events = await allOf(take.events(() => undefined));
  return { events, plan: await planTake(path, take.header, folder, {}) };
}

const [G2, D2, A1, E1] = BASS.strings.map(({ pluck }) => pluck) as [number, number, number, number];
const fault = (_seat: number, _t: number, error: unknown): never => {
  throw error;
};
const NO_LEVELS = { missed: [0.15], weak: [0.3], dipped: [0.15] };

/** What a plain rerun of a room plays on one seat. */
function roomNotes(
  events: readonly RoomTakeEvent[],
  seats: readonly SeatPlan[],
  room: RoomPlan,
  seat: number,
): string[] {
  const voices: VoiceEvent[] = [];
  rerunRoom(events, seats, room, fault).subscribe((event) => voices.push(event));
  return spelled(ofSeat(voices, seat));
}

function padLines(explained: Explanation): string {
  const { pads } = inWords(explained, TITLES);
  return pads.flatMap(({ name, sentences }) => sentences.map((one) => `${name} ${one}`)).join('\n');
}

describe('a take that is watched', () => {
  it.each(CASES)('plays what it plays unwatched: %s', async (name) => {
    const { events, plan } = await recorded(name);
    const last = events.at(-1)!.t;
    const asked = {
      events: () => atOnce(seated(events)),
      seats: [plan],
      room: plainRoom(1),
      seat: 0,
    };
    const run = await watchRun({ ...asked, from: 0, to: last }, fault);
    expect(run.whole).toBe(true);
    expect(run.notes).toEqual(notesOf(events, plan));
  });

  it.each(CASES)('played again with any one rule changed is as a plain rerun: %s', async (name) => {
    const { events, plan } = await recorded(name);
    const last = events.at(-1)!.t;
    const asked = {
      events: () => atOnce(seated(events)),
      seats: [plan],
      room: plainRoom(1),
      seat: 0,
    };
    const run = await watchRun({ ...asked, from: 0, to: last }, fault);
    const others = otherRules(plan.rules, plan.instrument, NO_LEVELS);
    expect(others.length).toBeGreaterThan(10);
    for (const other of others) {
      const altered = { ...plan, rules: other.rules(plan.rules) };
      const key = `${other.key} ${other.other}`;
      expect({ key, notes: again(run, other) }).toEqual({ key, notes: notesOf(events, altered) });
    }
  });

  it('changes rules also where they were swapped on the way', async () => {
    const scans = scansOf(20, [press(A1, 800, 880), press(A1, 1_400, 1_480)], 2_000);
    const swap: WireEvent = { type: 'swap', t: 1_000_000, rules: rulesWith({}) };
    const events: WireEvent[] = [
      ...scans.filter(({ t }) => t <= 1_000_000),
      swap,
      ...scans.filter(({ t }) => t > 1_000_000),
    ];
    const plan = planOf(BASS, rulesWith({ strings: { ring: 200_000 } }));
    const asked = {
      events: () => atOnce(seated(events)),
      seats: [plan],
      room: plainRoom(1),
      seat: 0,
    };
    const run = await watchRun({ ...asked, from: 0, to: 2_000_000 }, fault);
    const other = otherRules(plan.rules, BASS, NO_LEVELS).find(
      ({ key, other: to }) => key === 'strings.wait-for-fret' && to === 'always',
    )!;
    const altered = events.map((event) =>
      event.type === 'swap' ? { ...swap, rules: other.rules(PLAIN) } : event,
    );
    const wanted = notesOf(altered, { ...plan, rules: other.rules(plan.rules) });
    expect(again(run, other)).toEqual(wanted);
    expect(spelled(wanted)).toEqual(['A1 826-1026', 'A1 1426-2000']);
  });

  it('names rules as a rules file does', async () => {
    for (const { key } of otherRules(PLAIN, BASS, NO_LEVELS)) {
      expect(describeRules().map((line) => line.key)).toContain(key);
    }
  });
});

describe('the room decides', () => {
  const SCANS = scansOf(20, [press(A1, 800, 880), press(D2, 900, 980)], 5_600);
  const plans = [planOf(BASS, PLAIN), planOf(BASS, PLAIN)];
  const OTHER = scansOf(20, [press(E1, 1_000, 1_080)], 5_600);
  const change = (more: Partial<Extract<Change, { type: 'seat-change' }>>): Change => ({
    type: 'seat-change',
    t: 700_000,
    seat: 0,
    ...more,
  });
  const both = (...changes: Change[]): RoomTakeEvent[] =>
    [...seated(SCANS), ...seated(OTHER, 1), ...changes].sort((a, b) => a.t - b.t);

  /** What is told of the first seat at a time, and that plain reruns play what is given. */
  async function told(
    events: RoomTakeEvent[],
    room: RoomPlan,
    ms: number,
    plays: readonly string[],
    without: { key: string; events: RoomTakeEvent[]; room: RoomPlan; plays: readonly string[] },
  ): Promise<Explanation> {
    expect(roomNotes(events, plans, room, 0)).toEqual(plays);
    expect(roomNotes(without.events, plans, without.room, 0)).toEqual(without.plays);
    const at = ms * 1_000;
    const asked = {
      events: () => atOnce(events),
      seats: plans,
      room,
      seat: 0,
      from: at - 300_000,
      to: at + 300_000,
    };
    const explained = await explain(asked, at, null, fault);
    expect(decidedBy(explained).some((one) => one.startsWith(without.key))).toBe(true);
    return explained;
  }
  const FREE = ['A1 808-4808', 'D2 908-4908'];

  it('by its limit of voices, which another seat takes a place of', async () => {
    const room = { ...plainRoom(2), voices: 2 };
    const explained = await told(both(), room, 1_000, ['A1 808-1008', 'D2 908-4908'], {
      key: 'room.voices 2',
      events: both(),
      room: plainRoom(2),
      plays: FREE,
    });
    // Which of its notes yields is its own rule: the lowest would have stayed.
    expect(toldOf(explained)).toContainEqual(
      "it gave its place to E1 of seat 1: too many notes sounded (voices.keep latest, the room's voices 2)",
    );
  });

  it('by its scale', async () => {
    // C major has no A# (34) beside A1 (33): fret 1 goes down to A.
    const fretted = seated(scansOf(20, [press(2, 500, 1_200), press(A1, 800, 880)], 2_000));
    const room = { ...plainRoom(2), scale: [0, 2, 4, 5, 7, 9, 11] };
    const explained = await told(fretted, room, 800, ['A1 808-1232'], {
      key: 'room.scale',
      events: fretted,
      room: plainRoom(2),
      plays: ['A#1 808-1232'],
    });
    expect(toldOf(explained)).toContainEqual(
      "the room's scale moved it from A#1 to A1 (the room's scale C D E F G A B)",
    );
  });

  it('by a seat that somebody muted', async () => {
    const events = both(change({ mute: true }));
    const explained = await told(events, plainRoom(2), 800, [], {
      key: 'room.mute',
      events: both(),
      room: plainRoom(2),
      plays: FREE,
    });
    expect(toldOf(explained)).toContainEqual("the seat was muted (the seat's mute true)");
  });

  it('by another seat that is solo, also where a note is cut by it', async () => {
    const solo = change({ seat: 1, solo: true });
    const explained = await told(both(solo), plainRoom(2), 800, [], {
      key: 'room.solo',
      events: both(),
      room: plainRoom(2),
      plays: FREE,
    });
    expect(toldOf(explained).join()).toContain('another seat was solo (solo');
    const later = both({ ...solo, t: 850_000 });
    const cut = await told(later, plainRoom(2), 850, ['A1 808-850'], {
      key: 'room.solo',
      events: both(),
      room: plainRoom(2),
      plays: FREE,
    });
    expect(toldOf(cut).join()).toContain('somebody changed the room, and it was silent');
  });

  it('and what of it is left out is left out of a plain rerun too', async () => {
    const changes = [change({ mute: true }), change({ seat: 1, mute: true, level: 0.5 })];
    const room = { ...plainRoom(2), voices: 1, scale: [0, 4, 7] };
    const played = both(...changes);
    const asked = { events: () => atOnce(played), seats: plans, room, seat: 0 };
    const run = await watchRun({ ...asked, from: 0, to: 5_600_000 }, fault);
    for (const other of otherRooms(room, changes, 0)) {
      const events = played.map((event) =>
        isChange(event) ? (other.change?.(event) ?? event) : event,
      );
      const wanted = roomNotes(events, plans, other.room!(room), 0);
      expect({ key: other.key, notes: spelled(again(run, other)) }).toEqual({
        key: other.key,
        notes: wanted,
      });
    }
  });

  it('with the other seats as they played, whatever is changed of this one', async () => {
    const room = { ...plainRoom(2), voices: 2 };
    const asked = { events: () => atOnce(both()), seats: plans, room, seat: 0 };
    const run = await watchRun({ ...asked, from: 0, to: 5_600_000 }, fault);
    for (const other of otherRules(PLAIN, BASS, NO_LEVELS)) {
      const altered = [planOf(BASS, other.rules(PLAIN)), plans[1]!];
      expect({ key: other.key, notes: spelled(again(run, other)) }).toEqual({
        key: other.key,
        notes: roomNotes(both(), altered, room, 0),
      });
    }
  });
});

describe('explain', () => {
  it('names no rule that does not decide', async () => {
    const scans = scansOf(20, [press(A1, 800, 880)], 5_600);
    const explained = await explainAt(scans, planOf(BASS, PLAIN), 800);
    expect(decidedBy(explained)).toEqual(['strings.ring 4s']);
  });

  it('says by how much a level fell short of a threshold that noise had raised', async () => {
    const scans = scansOf(20, [press(A1, 600, 680, 0.21)], 1_600);
    // 250 counts from peak to peak, of a full touch of 1000.
    const plan = planOf(BASS, PLAIN, 250);
    expect(notesOf(scans, plan)).toEqual([]);
    expect(notesOf(scans, { ...plan, rules: rulesWith({ touch: { on: 0.15 } }) })).toEqual([]);
    const explained = await explainAt(scans, plan, 620);
    const [told] = toldOf(explained);
    const raised = Number(
      /^level 0\.2[12] stayed under touch\.on 0\.2, which this pad's noise raises to (0\.\d\d); a lower touch\.on alone would make no note of it$/.exec(
        told!,
      )![1],
    );
    expect(raised).toBeGreaterThan(0.21);
    // 4.5 deviations, of which a peak to peak holds 3.5 at first: it only falls from there.
    expect(raised).toBeLessThan((4.5 / 3.5) * 0.25 + 0.005);
    // The lower rule changes nothing, and is not said to.
    expect(decidedBy(explained)).toEqual([]);
    const pads = padLines(explained);
    expect(pads).toMatch(/no touch at 0\.6\d\d s: level 0\.2\d stayed under 0\.\d\d/);
    expect(pads).toContain(`raises touch.on 0.2 to ${raised.toFixed(2)} and touch.off 0.12 to`);
  });

  it('tells what unmixing took off', async () => {
    const plan = planOf(BASS, PLAIN);
    const pads = plan.pads.build!.pads.map((pad, i) =>
      i === D2 ? { ...pad!, coupling: [{ from: A1, share: 0.25 }] } : pad,
    );
    const build = { ...plan.pads.build!, pads };
    // A thumb on A1 shows on D2's pad by a quarter, which is over the threshold as read.
    const hands = [press(A1, 800, 880), press(D2, 800, 880, 0.4)];
    const scans = scansOf(20, hands, 2_000);
    const explained = await explainAt(scans, { ...plan, pads: { ...plan.pads, build } }, 820);
    const lines = padLines(explained);
    expect(lines).toMatch(
      /D2 pluck +highest .*: raw 1400 \(rest 1000, full touch \+1000\) is level 0\.15, once\s+0\.25 that/,
    );
    expect(explained.pads.find(({ pad }) => pad === D2)!.peak).toMatchObject({
      raw: 1_400,
      read: expect.closeTo(0.4, 3) as number,
      level: expect.closeTo(0.15, 3) as number,
    });
  });

  it('tells readings, strength and velocity as they follow from the levels', async () => {
    const scans = scansOf(20, [press(A1, 800, 880, 0.8)], 2_000);
    const text = explainText(await explainAt(scans, planOf(BASS, PLAIN), 808), TITLES).join('\n');
    // Strength is (level − on) / (1.25 − on); velocity 20 + 107 · strength.
    expect(text).toMatch(/strength 0\.55 from level 0\.78, by the readings\s+0\.40, 0\.80/);
    expect(text).toContain('Velocity 79: strength 0.55 by velocity.curve 1, from 20 to 127.');
    expect(text).toContain('let go at 0.888 s, sure 24.0 ms later');
    expect(text).toContain(
      'pads (touched from touch.on 0.2, let go under touch.off 0.12 for touch.lift 24ms):',
    );
  });

  it('says why nothing can come of a pad that is not ready', async () => {
    const watched = await recorded('touched-while-rest-is-watched');
    expect(toldOf(await explainAt(watched.events, watched.plan, 200)).join()).toContain(
      'its rest was still being watched',
    );
    const ended = await recorded('silenced-while-held');
    expect(toldOf(await explainAt(ended.events, ended.plan, 900)).join()).toContain(
      'everything was ended while it was down',
    );
    expect(toldOf(await explainAt(ended.events, ended.plan, 740)).join()).toContain(
      'everything was ended (silence)',
    );
    // A finger that lies on a calibrated pad from the start on, and is seen to.
    const held = scansOf(
      20,
      [
        {
          pad: A1,
          points: [
            [0, 1],
            [4, 1],
            [900, 1],
            [908, 0],
          ],
        },
      ],
      1_500,
    );
    const lying = toldOf(await explainAt(held.slice(1), planOf(BASS, PLAIN), 500)).join();
    expect(lying).toContain('it has not been at rest since the start');
  });

  it.each([
    ['brush-that-lost-contact', 620, 'strings.brush 44ms', 'it only brushed the string'],
    ['short-touch-of-a-mouth', 700, 'holes.settle 55ms', 'it waited 91.0 ms for the fingers'],
    ['fingers-apart-on-a-pipe', 1_000, 'holes.settle 55ms', 'rested at xxxxxxxx for 55.0 ms'],
  ])('of the recorded case %s', async (name, ms, key, words) => {
    const { events, plan } = await recorded(name);
    const explained = await explainAt(events, plan, ms);
    expect(decidedBy(explained)).toContain(key);
    const text = explainText(explained, TITLES).join(' ').replace(/\s+/g, ' ');
    expect(text).toContain(words);
    expect(text).toContain('checked, by running the take again with one rule changed');
  });

  it('names the nearest notes where nothing happened, however far they are', async () => {
    const scans = scansOf(20, [press(A1, 800, 880), press(D2, 9_000, 9_080)], 10_000);
    const explained = await explainAt(scans, planOf(BASS, PLAIN), 7_000);
    expect(explained.happenings).toEqual([]);
    const text = explainText(explained, TITLES);
    expect(text).toContain('Nothing happened there.');
    expect(text).toContain('The nearest note before: A1 at 0.808 s (A1 open).');
    expect(text).toContain('The nearest note after: D2 at 9.008 s (D2 open).');
    expect(text).toContain('pads: none moved');
    const early = explainText(await explainAt(scans, planOf(BASS, PLAIN), 300), TITLES);
    expect(early).toContain('There is no note before in the take.');
  });

  it('looks at one pad and what sounds on its string, where one is asked for', async () => {
    const hands = [press(G2, 800, 880), press(A1, 800, 880), press(E1, 804, 884)];
    const plan = planOf(BASS, PLAIN);
    const places = async (pad?: number): Promise<unknown> => {
      const asked = pad === undefined ? {} : { pad };
      const { happenings } = await explainAt(scansOf(20, hands, 2_000), plan, 808, asked);
      return happenings.map(({ place }) => place).sort();
    };
    expect(await places()).toEqual([0, 2, 3]);
    expect(await places(A1)).toEqual([2]);
    expect(await places(BASS.strings[2]!.frets[0])).toEqual([2]);
  });

  it('says that a module of one’s own decides, and what the built-in logic would play', async () => {
    const scans = scansOf(20, [press(A1, 800, 880)], 2_000);
    const path = 'own.take.jsonl';
    const header = { take: 1, inputs: 20, full: 16_383, instrument: 'bass-4x4' } as const;
    const plan = await planTake(path, header, '.', { rules: 'strum' });
    const own = { ...plan, pads: planOf(BASS, PLAIN).pads };
    expect(spelled(notesOf(scans, own)).length).toBe(4);
    const explained = await explainAt(scans, own, 808);
    // One pluck of A1 sounds all four strings; the built-in logic A1 alone.
    expect(explained.happenings).toHaveLength(4);
    const told = toldOf(explained).filter((words) => words.includes('a module of your own'));
    expect(told.length).toBe(4);
    expect(decidedBy(explained).join()).toMatch(/^logic .*strum\.ts/);
    const missed = explained.flips.filter(({ key, other }) => key === 'logic' && other === null);
    expect(missed.map(({ note }) => note!.string).sort()).toEqual([0, 1, 3]);
  });

  it('reads a board that decides touches itself', async () => {
    const scans: WireEvent[] = [100, 0, 90, 0].map((raw, i) => ({
      type: 'scan',
      t: 1_000_000 + 500_000 * i,
      inputs: [0],
      raws: [raw],
    }));
    const instrument = shipped('drums-6');
    const pads = { pads: 6, build: null, full: 127, decided: true };
    const explained = await explainAt(scans, { instrument, rules: PLAIN, pads }, 1_000);
    const text = explainText(explained, TITLES).join('\n');
    expect(text).toContain('the board sent 100 at 1.000 s; it decides itself what is a touch');
    expect(text).toContain('bass drum at 1.000 s');
    expect(text).not.toContain('raises');
  });

  it('has no number that is none, whatever is asked', async () => {
    const events = await eventsIn(busyTake(12));
    for (let ms = 0; ms < 12_000; ms += 1_700) {
      const text = explainText(await explainAt(events, bassPlan(), ms), TITLES).join('\n');
      expect(text).not.toMatch(/NaN|Infinity|undefined|null/);
      expect(Math.max(...text.split('\n').map((line) => line.length))).toBeLessThanOrEqual(100);
    }
  }, 60_000);
});
