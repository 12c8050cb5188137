import { describe, expect, it } from 'vitest';
import { HOWS } from '../../src/playing/note.js';
import { plainRoom } from '../../src/room/plan.js';
import type { VoiceEvent } from '../../src/room/voice.js';
import { seatSound } from '../support/seat-sound.js';
import { check } from './room/check.js';
import { promises, type Promises } from './room/promises.js';
import { shrink } from './room/shrink.js';

const MINUTES = 60_000;

describe('a class of 32 to which everything happens', () => {
  // More seeds: npx tsx tests/fuzz/room/main.ts --seeds 50
  it.each([
    ['whose alarms ring late', 2, 106_000],
    ['whose alarms never ring', 1, 106_000],
    ['whose stages throw, and the whole way', 3, 40_000],
  ])(
    '%s keeps its promises',
    async (_, seed, length) => {
      const { report, ran } = await check(seed, length);
      expect(report).toBeNull();
      expect(ran.events).toBeGreaterThan(0.95 * length);
      // It is worth nothing where nothing plays.
      const notes = [...ran.notes.values()].reduce((sum, count) => sum + count);
      expect(notes).toBeGreaterThan(length / 100);
      // Late frets and slides take more luck than one run has.
      const likely = HOWS.filter((how) => how !== 'late' && how !== 'slide');
      expect(likely.filter((how) => !ran.notes.has(how))).toEqual([]);
    },
    5 * MINUTES,
  );
});

describe('what holds a room to its promises', () => {
  const on = { type: 'on', t: 0, voice: 1, seat: 0, note: 60, velocity: 9, strength: 1, string: 0 };
  const begun = { ...on, fret: 0, how: 'pluck' } as VoiceEvent & { type: 'on' };
  const ended = {
    type: 'off',
    t: 0,
    voice: 1,
    seat: 0,
    note: 60,
    string: 0,
    slurred: false,
  } as const;
  const second = { ...begun, voice: 2, string: 1 };
  const silence = { type: 'silence', t: 0 } as const;

  function after(events: readonly VoiceEvent[], then: (one: Promises) => void = () => undefined) {
    const own = promises({ ...plainRoom(2), voices: 2 }, [2, 1]);
    for (const event of events) own.engine.send(event);
    then(own);
    return own.broken();
  }
  const mute = { wish: { type: 'seat-change', seat: 0, mute: true } } as const;

  it('lets a room be that keeps them', () => {
    const carried = { ...begun, voice: 2, note: 62 };
    expect(after([begun, ended, silence], (own) => own.still(() => true))).toBeNull();
    expect(after([begun, { ...ended, slurred: true }, carried])).toBeNull();
    expect(after([begun, second])).toBeNull();
    expect(after([{ ...begun, seat: 1 }], (own) => own.around(mute, () => undefined))).toBeNull();
  });

  it.each<[string, string | RegExp, VoiceEvent[], ((own: Promises) => void)?]>([
    ['a note without an end', /seat 0 still sounds/, [begun], (own) => own.still(() => true)],
    ['an end without a note', /voice 1 ended that does not sound/, [ended]],
    ['a second end', /voice 1 ended that does not sound/, [begun, ended, ended]],
    ['the end of another note', /ended as another/, [begun, { ...ended, note: 61 }]],
    ['a voice that comes again', /voice 1 after 1/, [begun, ended, begun]],
    ['two notes on a string', /two notes on string 0/, [begun, { ...begun, voice: 2 }]],
    [
      'a third voice in a room of two',
      /3 voices/,
      [begun, second, { ...begun, voice: 3, seat: 1 }],
    ],
    [
      ...(['a second note of a seat of one', /2 notes of seat 1/] as const),
      [
        { ...begun, seat: 1 },
        { ...second, seat: 1 },
      ],
    ],
    ['a time that falls', /time went back/, [{ ...begun, t: 5 }, ended]],
    ['a slur that nothing carries on', /slur/, [begun, { ...ended, slurred: true }, silence]],
    ['a silence that is none', /silence while/, [begun, silence]],
    ['a velocity of 0', /velocity 0/, [{ ...begun, velocity: 0 }]],
    ['a muted seat that goes on', /muted/, [begun], (own) => own.around(mute, () => undefined)],
    [
      ...(['a muted seat that begins', /muted/] as const),
      [],
      (own) => {
        own.around(mute, () => undefined);
        own.engine.send(begun);
      },
    ],
    ['a slot in which nobody plays', /slot 2 sounds before/, [{ ...begun, seat: 2 }]],
    [
      ...(['who joins twice', /joined twice/] as const),
      [{ type: 'joined', t: 0, seat: 1, sound: seatSound({ name: 'x' }) }],
    ],
    [
      'who leaves while it sounds',
      /sounds while its seat left/,
      [begun, { type: 'left', t: 0, seat: 0 }],
    ],
    [
      ...(['others that stay turned down', /seat 1 is left at/] as const),
      [{ type: 'mix', t: 0, seat: 1, level: 0.3, pan: 0, sound: 1, lead: false }],
      (own) => own.still(() => true),
    ],
  ])('finds %s', (_, what, events, then) => {
    expect(after(events, then)).toMatch(what);
  });
});

describe('the search for a shorter script', () => {
  it('leaves out all that does not matter', async () => {
    const all = Array.from({ length: 1_000 }, (_, i) => i);
    const fails = (part: readonly number[]) =>
      Promise.resolve([3, 500, 997].every((one) => part.includes(one)));
    expect(await shrink(all, fails)).toEqual([3, 500, 997]);
  });
});
