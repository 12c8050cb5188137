import { describe, expect, it } from 'vitest';
import { liveClock } from '../../../src/ports/live-clock.js';
import type { Notice } from '../../../src/ports/contracts.js';
import { handIn, MOST_HELD, type HandSeat } from '../../../src/ports/osc/hand-in.js';
import { seededNumbers } from '../../../src/demo/gestures.js';
import type { Seated } from '../../../src/time/alongside.js';
import type { HandPacket, HandPart } from '../../../src/wire/osc-hand.js';
import { oscTimeTag } from '../../../src/wire/osc-time.js';
import type { WireEvent } from '../../../src/wire/scan.js';
import { lateTimers } from '../../support/late-timers.js';

/** A speaker whose time is the test's, with timers as late as Node's. */
function speaker(seats: Record<string, HandSeat>, seed = 1) {
  const timers = lateTimers(seededNumbers(seed), 1.2);
  const clock = liveClock(timers);
  const heard: (Seated<WireEvent> & { ms: number })[] = [];
  const notices: Notice[] = [];
  const hand = handIn({
    seats: new Map(Object.entries(seats)),
    where: 'UDP port 9000',
    clock,
    now: clock.now,
    timers,
    tell: (notice) => notices.push(notice),
    emit: (event) => heard.push({ ...event, ms: timers.now() }),
  });
  /** Lets a packet come `ms` from the start. */
  const come = (ms: number, packet: HandPacket, from = '10.0.0.5'): void => {
    timers.after(ms - 1.2, () => {
      hand.packet(packet, from, clock.now());
    });
  };
  return { timers, hand, heard, notices, come };
}

/** Unix time of the other computer's start, in microseconds. */
const START = 1.7e15;

function packet(number: number, ms: number, parts: HandPart[], more: Partial<HandPacket> = {}) {
  return {
    seat: 'north',
    run: 1,
    number,
    at: oscTimeTag(START + Math.round(ms * 1_000)),
    parts,
    ...more,
  };
}

const scan = (raw: number): HandPart => ({ type: 'scan', inputs: [0], raws: [raw] });
const PADS: HandSeat = { seat: 0, hand: 'pads', delay: 12_000 };
const NOTES: HandSeat = { seat: 0, hand: 'notes', delay: 12_000 };
const bye: HandPart = { type: 'reset', why: 'end' };

function on(voice: number): HandPart {
  return {
    type: 'on',
    voice,
    note: 40,
    velocity: 9,
    strength: 0.1,
    string: voice,
    fret: 0,
    how: 'pluck',
  };
}

describe('what another computer hands on', () => {
  it('is played evenly through a jitter of up to the delay, in its order, for a minute', () => {
    const { timers, hand, heard, notices, come } = speaker({ north: PADS });
    const random = seededNumbers(5);
    const sent: number[] = [];
    // 50 a second is enough to judge by; 40 parts in a million of drift; 0.4 ms at least on the way.
    for (let number = 0; number < 3_000; number++) {
      const ms = 20 * number + 3 * random();
      sent.push(ms * (1 + 40e-6));
      come(
        50 + ms * (1 + 40e-6) + 0.4 + 10.6 * random(),
        packet(number, ms, [scan(number % 9_000)]),
      );
    }
    timers.run(61_500);
    const scans = heard.filter(({ event }) => event.type === 'scan');
    expect(scans.map(({ event }) => event.type === 'scan' && event.raws[0])).toEqual(
      sent.map((_, i) => i),
    );
    const after = (times: number[]): number[] => times.map((ms, i) => ms - sent[i]!).slice(50);
    const spread = (all: number[]): number => Math.max(...all) - Math.min(...all);
    // Both when it is played by the clock of the room, and when it reaches the engines.
    const dated = spread(after(scans.map(({ t }) => t / 1_000)));
    const played = spread(after(scans.map(({ ms }) => ms)));
    expect(dated).toBeLessThan(1);
    expect(played).toBeLessThan(1);
    expect(hand.counts).toMatchObject({ lost: 0, repeated: 0 });
    expect(hand.counts.reordered).toBe(0);
    expect(hand.counts.late).toBe(0);
    expect(notices.filter(({ level }) => level !== 'info')).toEqual([]);
  });

  it('is played as evenly where notes are few, by what is said again twenty times a second', () => {
    const { timers, hand, heard, come } = speaker({ north: NOTES });
    const random = seededNumbers(11);
    const sent = new Map<number, number>();
    let number = 0;
    for (let ms = 0; ms < 120_000; ms += ms < 1_000 ? 20 : 50) {
      const way = (): number => 0.4 + 10.6 * random();
      come(50 + ms + way(), packet(number++, ms, [{ type: 'sounding', voices: [] }]));
      if (random() > 0.1) continue;
      const at = ms + 20 * random();
      sent.set(number, at);
      come(50 + at + way(), packet(number, at, [on(number)]));
      number++;
    }
    timers.run(121_000);
    const later = heard.flatMap(({ event, ms }) =>
      event.type === 'played' && event.on ? [ms - sent.get(event.voice)!] : [],
    );
    expect(later.length).toBeGreaterThan(200);
    // But for the first second, in which the shortest way is not known yet.
    const steady = later.filter((_, i) => [...sent.values()][i]! > 1_500);
    expect(Math.max(...steady) - Math.min(...steady)).toBeLessThan(1);
    expect(hand.counts).toMatchObject({ lost: 0, late: 0 });
  });

  it('comes in its order and complete where the network turns packets round within the delay', () => {
    const { timers, hand, heard, come } = speaker({ north: PADS });
    const random = seededNumbers(6);
    for (let number = 0; number < 500; number++) {
      come(50 + 2 * number + 11 * random(), packet(number, 2 * number, [scan(number)]));
    }
    timers.run(1_200);
    const raws = heard.map(({ event }) => (event.type === 'scan' ? event.raws[0] : -1));
    // Until the shortest way is known, the first ones may come in the order in which they arrive.
    expect(raws.slice(-480)).toEqual(raws.slice(-480).sort((a, b) => a! - b!));
    expect(raws.length).toBeGreaterThan(490);
    expect(hand.counts.reordered).toBeGreaterThan(100);
    expect(hand.counts.lost).toBe(0);
  });

  it('is played at once where it comes later than that, counted, and told every five seconds', () => {
    const { timers, hand, heard, notices, come } = speaker({ north: PADS });
    for (let number = 0; number < 300; number++) {
      const late = number % 10 === 5 ? 45 : 0;
      come(50 + 20 * number + 1 + late, packet(number, 20 * number, [scan(number)]));
    }
    timers.run(6_500);
    expect(hand.counts.late).toBe(30);
    const told = notices.filter(({ what }) => what.includes('late from'));
    expect(told.map(({ what }) => what)).toEqual([
      expect.stringMatching(
        /^A packet was late from 10\.0\.0\.5, the last by 3[34]\.\d ms/,
      ) as string,
      expect.stringMatching(/^2\d packets were late/) as string,
    ]);
    expect(told[0]!.next).toContain('now it is 12ms');
    // Overtaken by the next, it is news no more: its input has been read again since.
    expect(heard.filter(({ event }) => event.type === 'scan')).toHaveLength(270);
  });

  it('is not held at all with a delay of 0ms', () => {
    const { timers, hand, heard, come } = speaker({ north: { ...PADS, delay: 0 } });
    const ways = [3, 0.5, 7, 2, 0.5];
    for (const [number, way] of ways.entries()) {
      come(100 + 50 * number + way, packet(number, 50 * number, [scan(number)]));
    }
    timers.run(400);
    const waits = heard.map(({ ms }, i) => ms - 100 - 50 * i - ways[i]!);
    // The test's own timers are late by up to 1.2 ms before the packet "comes".
    for (const wait of waits) expect(Math.abs(wait)).toBeLessThan(1.3);
    expect(hand.counts.late).toBe(0);
  });

  it('ends where the other computer falls silent for two seconds, and goes on when it is back', () => {
    const { timers, heard, notices, come } = speaker({
      north: NOTES,
      south: { ...NOTES, seat: 1 },
    });
    come(100, packet(0, 0, [on(1)]));
    come(100, packet(0, 0, [on(1)], { seat: 'south' }));
    for (let n = 1; n < 20; n++) {
      come(100 + 100 * n, packet(n, 100 * n, [{ type: 'sounding', voices: [1] }]));
      come(
        100 + 100 * n,
        packet(n, 100 * n, [{ type: 'sounding', voices: [1] }], { seat: 'south' }),
      );
    }
    come(9_000, packet(60, 8_900, [on(2)]));
    timers.run(9_500);
    const said = heard.map(({ seat, event }) => [
      seat,
      event.type === 'played' ? `on ${String(event.voice)}` : event.type === 'reset' && event.why,
    ]);
    expect(said).toEqual([
      ...[0, 1].map((seat) => [seat, 'on 1']),
      ...[0, 1].map((seat) => [seat, 'overflow']),
      [0, 'on 2'],
    ]);
    const ended = heard[2]!.ms;
    // The last word came at 2 s; looked for every quarter of a second.
    expect(ended).toBeGreaterThan(4_000);
    expect(ended).toBeLessThan(4_300);
    expect(notices.map(({ what }) => what)).toEqual(
      [
        ...['north', 'south'].map((seat) => `Seat ${seat} is handed on by 10.0.0.5`),
        'Nothing comes from 10.0.0.5 any more, so the notes of north, south were ended',
        'Seat north is handed on by 10.0.0.5',
        '40 packets were lost on the way from 10.0.0.5, the last of seat north',
      ].slice(0, notices.length),
    );
    expect(notices.length).toBeGreaterThanOrEqual(4);
  });

  it('ends with a farewell, of which one is enough, and without a warning', () => {
    const { timers, heard, notices, come } = speaker({ north: NOTES });
    come(100, packet(0, 0, [on(1)]));
    for (const n of [1, 2, 3]) come(200 + n, packet(n, 100, [bye]));
    // Overtaken by the farewell.
    come(230, packet(0, 0, [{ type: 'sounding', voices: [1] }]));
    timers.run(5_000);
    expect(heard.map(({ event }) => event.type === 'reset' && event.why)).toEqual([
      ...[false, 'lost', 'lost', 'lost'],
    ]);
    expect(notices.map(({ level, what }) => [level, what])).toEqual([
      ['info', 'Seat north is handed on by 10.0.0.5'],
      ['info', 'Seat north is no longer handed on by 10.0.0.5'],
    ]);
  });

  it('begins again with a new run, and what is left of the old one is not heard', () => {
    const { timers, hand, heard, come } = speaker({ north: PADS });
    come(100, packet(40, 0, [scan(1)]));
    come(130, packet(0, 30, [scan(2)], { run: 2 }));
    come(135, packet(41, 20, [scan(3)]));
    come(160, packet(1, 60, [scan(4)], { run: 2 }));
    timers.run(400);
    expect(heard.map(({ event }) => (event.type === 'scan' ? event.raws[0] : event.type))).toEqual([
      ...[1, 'reset', 2, 4],
    ]);
    expect(hand.counts).toEqual({ lost: 0, reordered: 0, repeated: 0, late: 0 });
  });

  it('is heard of one computer where two hand on the same seat', () => {
    const { timers, heard, notices, come } = speaker({ north: PADS });
    for (let n = 0; n < 100; n++) {
      come(100 + 50 * n, packet(n, 50 * n, [scan(1)]));
      come(110 + 50 * n, packet(n, 50 * n, [scan(2)], { run: 2 }), '10.0.0.6');
    }
    // The first one ends; the other is heard after that.
    come(5_105, packet(100, 5_000, [bye]));
    come(5_200, packet(100, 5_000, [scan(2)], { run: 2 }), '10.0.0.6');
    timers.run(5_300);
    const raws = heard.flatMap(({ event }) => (event.type === 'scan' ? event.raws : []));
    expect(raws).toEqual([...Array<number>(100).fill(1), 2]);
    const told = notices.filter(({ level }) => level === 'warn').map(({ what }) => what);
    expect(told).toEqual([
      'Seat north is handed on by two computers; 10.0.0.5 is heard, and 10.0.0.6 is not',
    ]);
  });

  it('that is no pads where pads are wanted is told with what to write', () => {
    const { timers, heard, notices, come } = speaker({ north: PADS });
    come(100, packet(0, 0, [on(1)]));
    come(120, packet(1, 20, [{ type: 'sounding', voices: [1] }]));
    timers.run(200);
    expect(heard).toEqual([]);
    expect(notices).toEqual([
      {
        level: 'warn',
        where: 'UDP port 9000',
        what: 'Seat north is to take pads, and notes are handed on for it',
        next: 'Write "hand: notes" beside "osc:" in the seat\'s "from", or "hand: pads" on the other computer',
      },
    ]);
  });

  it('is counted exactly, and fixed, where packets are lost', () => {
    const { timers, hand, heard, notices, come } = speaker({ north: PADS });
    come(100, packet(0, 0, [scan(1)]));
    // A touch, and its lift that is lost.
    come(120, packet(1, 20, [scan(900)]));
    come(200, packet(3, 100, [{ type: 'now', inputs: [0], raws: [4] }]));
    come(300, packet(5, 200, [{ type: 'now', inputs: [0], raws: [4] }]));
    for (let n = 6; n < 40; n++) {
      come(100 * n, packet(n, 100 * n - 100, [{ type: 'now', inputs: [0], raws: [4] }]));
    }
    timers.run(3_000);
    expect(heard.map(({ event }) => event.type === 'scan' && event.raws)).toEqual([
      ...[[1], [900], [4]],
    ]);
    expect(hand.counts).toMatchObject({ lost: 2, late: 0, reordered: 0 });
    expect(notices.filter(({ what }) => what.includes('lost on the way')).length).toBe(1);
  });

  it('is played at once where the other clock was set, so that what falls back in time is never piled up', () => {
    const { timers, heard, come } = speaker({ north: PADS });
    // Each packet is dated two seconds before the last.
    for (let number = 0; number < 2_000; number++) {
      come(100 + number, packet(number, -2_000 * number, [scan(number % 9_000)]));
    }
    timers.run(2_200);
    const scans = heard.filter(({ event }) => event.type === 'scan');
    // Those that the late timers turned round are news no more.
    expect(scans.length).toBeGreaterThan(1_900);
    expect(scans.at(-1)!.ms).toBeLessThan(2_150);
  });

  it('is dropped, with a reset and a word, where more comes at once than can be held', () => {
    const seat = { ...PADS, delay: 1_000_000 };
    const rooms = { north: seat, south: { ...seat, seat: 1 } };
    const { timers, hand, heard, notices, come } = speaker(rooms);
    timers.run(100);
    for (let number = 0; number <= MOST_HELD; number++) {
      hand.packet(packet(number, 0, [scan(1)]), '10.0.0.5', 100_000);
    }
    come(150, packet(0, 50, [scan(7)], { seat: 'south' }), '10.0.0.6');
    come(200, packet(MOST_HELD + 1, 100, [scan(2)]));
    timers.run(3_500);
    expect(heard.slice(0, 3).map(({ seat: at, event }) => [at, event.type])).toEqual([
      [0, 'reset'],
      ...[1, 0].map((one) => [one, 'scan']),
    ]);
    expect(heard[0]!.event).toMatchObject({ why: 'overflow' });
    const told = notices.filter(({ level }) => level === 'warn');
    expect(told[0]!.what).toBe(
      `${String(MOST_HELD + 1)} packets were dropped, since more came from 10.0.0.5 than can be held, and the notes of seat north were ended`,
    );
    expect(told[0]!.next).toContain('10.0.0.5');
  });
});
