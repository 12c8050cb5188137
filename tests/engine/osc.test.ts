import { readFileSync } from 'node:fs';
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { parse } from 'yaml';
import { messageFaults, PLAIN } from '../../src/engine/osc-messages.js';
import { oscEncoder, type Ahead } from '../../src/engine/osc.js';
import { TemplateError } from '../../src/engine/osc-template-error.js';
import type { OscMessages } from '../../src/instrument/types.js';
import type { Mix, VoiceEvent, VoiceOn } from '../../src/room/voice.js';
import { readWithBoth, readWithMin, type ReadMessage } from './osc-readers.js';
import { seatSound } from '../support/seat-sound.js';

const seats = ['north', 'Zoë & co', 'south', 'south'].map((name) => ({
  ...seatSound({ name, sound: 34, level: 1, strings: 4 }),
}));
const on = (more: Partial<VoiceOn> = {}): VoiceOn => ({
  type: 'on',
  t: 0,
  voice: 7,
  seat: 0,
  note: 33,
  velocity: 96,
  strength: 0.75,
  string: 2,
  fret: 0,
  how: 'pluck',
  ...more,
});
const off: VoiceEvent = {
  type: 'off',
  t: 40_000,
  voice: 7,
  seat: 0,
  note: 33,
  string: 2,
  slurred: false,
};

function packets(events: VoiceEvent[], messages = PLAIN, ahead: Ahead | null = null): Uint8Array[] {
  const stage = oscEncoder({ seats, messages, ahead });
  const state = stage.begin();
  return events.flatMap((event) => stage.step(state, event).out.map(({ packet }) => packet));
}
const sent = (...given: Parameters<typeof packets>): ReadMessage[] =>
  packets(...given).flatMap(readWithBoth);
const fileOf = (name: string): OscMessages =>
  parse(readFileSync(`config/engines/${name}.yaml`, 'utf8')) as OscMessages;

describe('the plain messages', () => {
  it('are /note/on ,iiff, /note/off ,i and /silence', () => {
    const read = sent([on(), off, { type: 'silence', t: 50_000 }]);
    expect(read.map(({ address, types, args }) => ({ address, types, args }))).toEqual([
      {
        address: '/note/on',
        types: ['integer', 'integer', 'float', 'float'],
        args: [7, 33, 55, 0.75],
      },
      { address: '/note/off', types: ['integer'], args: [7] },
      { address: '/silence', types: [], args: [] },
    ]);
  });

  it('carry equally tempered pitches (facts.md: MIDI 28, 33, 38, 43 in Hz; A4 = 440 Hz)', () => {
    const known = [
      [28, 41.2034],
      [33, 55],
      [38, 73.4162],
      [43, 97.9989],
      [69, 440],
    ] as const;
    for (const [note, frequency] of known) {
      const [read] = sent([on({ note })]);
      expect(read!.args[2]).toBeCloseTo(frequency, 4);
    }
  });

  it('are written byte by byte as OSC 1.0 has them', () => {
    const hex = Buffer.from(packets([on()])[0]!).toString('hex');
    const address = Buffer.from('/note/on\0\0\0\0').toString('hex');
    const tags = Buffer.from(',iiff\0\0\0').toString('hex');
    expect(hex).toBe(`${address}${tags}0000000700000021${'425c0000'}${'3f400000'}`);
  });

  it('are those of config/engines/plain.yaml', () => {
    expect(fileOf('plain')).toEqual(PLAIN);
  });
});

describe('own messages', () => {
  it('name seat and string in the address, as config/engines/by-string.yaml shows', () => {
    const read = sent([on(), off, { type: 'silence', t: 9 }], fileOf('by-string'));
    expect(read.map(({ address, args }) => [address, ...args])).toEqual([
      ['/bass/north/2/on', 33, 96, 'pluck'],
      ['/bass/north/2/off', 33],
      ['/bass/all/off', 0],
    ]);
  });

  it('keep addresses to what OSC 1.0 allows, and seats apart', () => {
    const messages = { ...PLAIN, on: '/{seat}/on seat:s seat:i' };
    const read = [1, 2, 3].flatMap((seat) => sent([on({ seat })], messages));
    expect(read.map(({ address, args }) => [address, ...args])).toEqual([
      ['/Zoe_&_co/on', 'Zoë & co', 1],
      ['/south/on', 'south', 2],
      ['/south_2/on', 'south', 3],
    ]);
  });

  it('know in the off whatever the on knew', () => {
    const messages = { ...PLAIN, off: '/off/{fret} velocity:i strength:f' };
    expect(sent([on({ fret: 3 }), off], messages)[1]).toMatchObject({
      address: '/off/3',
      args: [96, 0.75],
    });
  });

  it('send 64-bit numbers as they are (osc-min 2.1.2)', () => {
    fc.assert(
      fc.property(fc.maxSafeInteger(), fc.integer({ min: 0, max: 127 }), (whole, note) => {
        const line = `/x ${String(whole)}:h frequency:d note:s voice:h`;
        const [packet] = packets([on({ note })], { ...PLAIN, on: line });
        const [{ types, args }] = readWithMin(packet!) as [ReadMessage];
        expect(types).toEqual(['bigint', 'double', 'string', 'bigint']);
        expect(args).toEqual([BigInt(whole), 440 * 2 ** ((note - 69) / 12), String(note), 7n]);
      }),
    );
  });
});

describe('how a seat sounds', () => {
  const mix: Mix = {
    type: 'mix',
    t: 10,
    seat: 0,
    level: 0.5,
    pan: -0.25,
    sound: 74,
    lead: true,
  };
  const flat = (given: ReadMessage[]): unknown[] =>
    given.map(({ address, args }) => [address, ...args]);

  it('is told with each note, as it is by then', () => {
    const messages = { ...PLAIN, on: '/{kind}/{sound} level:f pan:f kind:s sound:i' };
    expect(flat(sent([on(), mix, on({ voice: 8 })], messages))).toEqual([
      ['/strings/34', 1, 0, 'strings', 34],
      ['/strings/74', 0.5, -0.25, 'strings', 74],
    ]);
  });

  it('has no message of its own unless one is given', () => {
    expect(sent([mix])).toEqual([]);
  });

  it('has one before a seat’s first note and for each change where one is given', () => {
    const messages = {
      ...PLAIN,
      on: '/on voice:i',
      mix: '/mix/{seat} seat:i level:f pan:f sound:i',
    };
    const events = [on(), mix, on({ voice: 8 }), on({ voice: 9, seat: 2 })];
    expect(flat(sent(events, messages))).toEqual([
      ['/mix/north', 0, 1, 0, 34],
      ['/on', 7],
      ['/mix/north', 0, 0.5, -0.25, 74],
      ['/on', 8],
      ['/mix/south', 2, 1, 0, 34],
      ['/on', 9],
    ]);
  });

  it('speaks of no voice in a message of its own', () => {
    expect(messageFaults({ ...PLAIN, mix: '/mix/{voice} level:f' })).toEqual([
      {
        key: 'mix',
        column: 1,
        what: 'this message is about a seat and no single voice, so it cannot hold voice',
        next: 'Use seat, level, pan, sound, kind or fixed values',
      },
    ]);
  });

  it('is written as config/engines/plain.yaml explains it', () => {
    const line = /#\s+mix: (.*)/.exec(readFileSync('config/engines/plain.yaml', 'utf8'))![1]!;
    expect(messageFaults({ ...PLAIN, mix: line })).toEqual([]);
    expect(flat(sent([mix], { ...PLAIN, mix: line }))).toEqual([['/seat/mix', 0, 0.5, -0.25, 74]]);
  });
});

describe('bundles ahead', () => {
  /** 2026-01-01T00:00:00Z is 1767225600 s after 1970 (Unix time). */
  const ahead: Ahead = { by: 20_000, toUnix: (t) => t + 1_767_225_600_000_000 };

  it('carry the time of the event and the lead', () => {
    const read = sent([on({ t: 1_500_000 })], PLAIN, ahead);
    expect(read[0]!.at).toBeCloseTo(Date.UTC(2026, 0, 1) / 1_000 + 1.5 + 0.02, 6);
  });

  it('never let a silence overtake a note', () => {
    const read = sent([on({ t: 100 }), { type: 'silence', t: 200 }], PLAIN, ahead);
    expect(read.map(({ address }) => address)).toEqual(['/note/on', '/note/off', '/silence']);
    const times = read.map(({ at }) => at!);
    expect([...times].sort((a, b) => a - b)).toEqual(times);
  });
});

describe('templates with faults', () => {
  it('are listed with their key and column', () => {
    const messages = { on: '/on pitch:f', off: '/off voice:i', silence: '/stop voice:i' };
    expect(messageFaults(messages)).toMatchObject([
      { key: 'on', column: 5, what: 'there is no "pitch"' },
      { key: 'silence', column: 7 },
    ]);
    expect(messageFaults(PLAIN)).toEqual([]);
    expect(() => oscEncoder({ seats, messages, ahead: null })).toThrow(TemplateError);
  });
});
