import { readFileSync } from 'node:fs';
import { join } from 'node:path';
import { afterAll, afterEach, beforeAll, describe, expect, it } from 'vitest';
import { formatRoomLine } from '../../src/takes/room-line.js';
import { TakeSeats } from '../../src/takes/room-seats.js';
import { roomHeader } from '../../src/takes/room-header.js';
import { formatHeader } from '../../src/takes/take.js';
import { calibrated, press, scansOf, seated } from '../explain/hands.js';
import { BASS } from '../support/bass.js';
import { compareTake } from './compare-hands.js';
import { endPrograms, run, workFolder, type Ended } from './program.js';

const folder = workFolder();
const explain = (...args: string[]): Promise<Ended> => run(['explain', ...args], folder.path);
const [G2, D2, , E1] = BASS.strings.map(({ pluck }) => pluck) as [number, number, number, number];

interface Report {
  readonly explain: number;
  readonly pads: readonly { readonly name: string; readonly peak: { readonly level: number } }[];
  readonly happenings: readonly {
    readonly words: string;
    readonly note: { readonly sounded: Record<string, unknown> | null } | null;
    readonly reasons: readonly {
      readonly kind: string;
      readonly decided: string[];
      readonly words: string;
    }[];
    readonly ends: readonly { readonly kind: string; readonly decided: string[] }[];
  }[];
  readonly checked: readonly { readonly key: string; readonly value: string }[];
  readonly [key: string]: unknown;
}

async function json(...args: string[]): Promise<Report> {
  const { code, out, err } = await explain(...args, '--json', '-');
  expect({ code, err }).toEqual({ code: 0, err: '' });
  expect(out.trim().split('\n')).toHaveLength(1);
  return JSON.parse(out) as Report;
}

/** Two seats on one room of three voices, in which the second one's E1 takes a place from the first. */
function roomTake(): string {
  const seat = (name: string): Parameters<typeof roomHeader>[0]['seats'][number] => ({
    name,
    inputs: 20,
    full: 16_383,
    decided: false,
    made: false,
    instrument: 'bass-4x4',
    build: calibrated(20) as unknown as Record<string, unknown>,
    rules: 'plain',
    level: 0.8,
    pan: 0,
    mute: false,
    solo: false,
    lead: false,
    sound: null,
  });
  const header = roomHeader({
    voices: 2,
    scale: null,
    duck: 9,
    seats: [seat('north'), seat('south')],
  });
  const north = scansOf(20, [press(G2, 800, 880), press(D2, 900, 980)], 2_000);
  const south = scansOf(20, [press(E1, 1_000, 1_080)], 2_000);
  const events = [...seated(north), ...seated(south, 1)].sort((a, b) => a.t - b.t);
  const seats = new TakeSeats(header.room.seats);
  const lines = events.map((event) => formatRoomLine(event, seats));
  return `${[formatHeader(header), ...lines].join('\n')}\n`;
}

beforeAll(() => {
  folder.write('hand.take.jsonl', compareTake());
  folder.write('room.take.jsonl', roomTake());
});
afterEach(endPrograms);
afterAll(folder.remove);

describe('explain', () => {
  it('says in the order of the way why there was a note', async () => {
    const { code, out, err } = await explain('hand.take.jsonl', '--at', '6.1s');
    expect({ code, err }).toEqual({ code: 0, err: '' });
    // Fret 3 of A1 (33) is C2 (36); fret 1, which was held as well, is A#1 (34).
    const parts = [
      /^hand\.take\.jsonl at 6\.100 s, 300 ms to either side \(Touch bass/,
      /^C2 at 6\.108 s \(A1 fret 3\): fret 1 was held too, and fret 3 counts \(strings\.stop\s/m,
      /^ {2}A1 pluck +highest at 6\.\d{3} s: raw \d+ \(rest \d+, full touch \+\d+\) is level/m,
      /touched at 6\.104 s; confirmed at 6\.108 s: strength 0\.\d\d/,
      /^C2 at 6\.108 s \(A1 fret 3\):$/m,
      /^ {2}Fret 3 was held, 200 ms before the pluck\.$/m,
      /^ {2}Velocity \d+: strength 0\.\d\d by velocity\.curve 1, from 20 to 127\.$/m,
      /^ {2}Ended at 6\.6\d\d s, after \d+ ms: fret 3 was let go \(touch\.lift 24ms\)\.$/m,
      /^checked, by running the take again with one rule changed:$/m,
      /^ {2}strings\.stop lowest +C2 at 6\.108 s would be A#1$/m,
    ];
    const places = parts.map((part) => out.search(part));
    expect(
      places.every((place) => place >= 0),
      out,
    ).toBe(true);
    expect(places).toEqual([...places].sort((a, b) => a - b));
  });

  it('answers why a note ended where that is nearer', async () => {
    const { out } = await explain('hand.take.jsonl', '--at', '5s');
    expect(out).toMatch(
      /^E1 at 1\.008 s \(E1 open\) ended at 5\.008 s: it had rung for 4\.00 s \(strings\.ring 4s\)\.$/m,
    );
  });

  it('goes by the rules that are asked for, as a plain rerun does', async () => {
    folder.write('low.yaml', 'name: low\nstrings:\n  stop: lowest\n');
    const { out } = await explain('hand.take.jsonl', '--at', '6.1s', '--rules', './low.yaml');
    expect(out).toMatch(/^A#1 at 6\.108 s \(A1 fret 1\): fret 3 was held too/m);
    expect(out).toMatch(/rules\s+low\)/);
    const again = await run(['rerun', 'hand.take.jsonl', '--rules', './low.yaml'], folder.path);
    expect(again.out).toContain('"t":6108000,"type":"on","note":34,');
  });

  it('says what is near where nothing happened', async () => {
    const { out } = await explain('hand.take.jsonl', '--at', '5.4s', '--around', '100ms');
    expect(out).toContain('Nothing happened there.\n');
    expect(out).toContain('The nearest note before: E1 at 1.008 s (E1 open).\n');
    expect(out).toContain('The nearest note after: C2 at 6.108 s (A1 fret 3).\n');
    const first = await explain('hand.take.jsonl', '--at', '0s');
    expect(first.out).toMatch(/^hand\.take\.jsonl at 0\.000 s, 300 ms to either side/);
  });

  it('gives all of it as JSON, also to a file beside the words', async () => {
    const report = await json('hand.take.jsonl', '--at', '6.1s');
    expect(report).toMatchObject({
      explain: 1,
      take: 'hand.take.jsonl',
      at: 6_100_000,
      from: 5_800_000,
      to: 6_400_000,
      rules: 'plain',
      before: { note: 28 },
      sounding: [],
    });
    expect(report.pads.map(({ name }) => name)).toEqual(['A1 fret 3', 'A1 fret 1', 'A1 pluck']);
    const [one] = report.happenings;
    expect(report.happenings).toHaveLength(1);
    expect(one!.note!.sounded).toMatchObject({ note: 36, string: 2, fret: 3, onset: 6_108_000 });
    expect(one!.reasons.flatMap(({ decided }) => decided)).toEqual(['strings.stop']);
    expect(one!.ends).toMatchObject([{ kind: 'fret-lifted', decided: ['touch.lift'] }]);
    expect(report.checked).toContainEqual(
      expect.objectContaining({ key: 'strings.stop', value: 'highest', to: 'lowest' }),
    );
    const { out } = await explain('hand.take.jsonl', '--at', '6.1s', '--json', 'why.json');
    expect(out).toContain('C2 at 6.108 s');
    expect(JSON.parse(readFileSync(join(folder.path, 'why.json'), 'utf8'))).toEqual(report);
  });

  it('looks at one pad, by its name or number', async () => {
    const of = async (...pad: string[]): Promise<string[]> =>
      (await json('hand.take.jsonl', '--at', '8s', ...pad)).happenings.map(({ words }) => words);
    expect(await of()).toHaveLength(3);
    const words = await of('--pad', 'd2 Pluck');
    expect(words).toEqual(['D#2 at 8.008 s (D2 fret 1)']);
    expect(await of('--pad', String(D2))).toEqual(words);
  });

  it('tells of one seat of a room, with all that the others play', async () => {
    const { code, out, err } = await explain(
      ...['room.take.jsonl', '--at', '1s', '--seat', 'north'],
    );
    expect({ code, err }).toEqual({ code: 0, err: '' });
    expect(out).toMatch(/^room\.take\.jsonl, seat north at 1\.000 s/);
    const words = out.replace(/\s+/g, ' ');
    expect(words).toContain(
      "Ended at 1.008 s, after 200 ms: it gave its place to E1 of south: too many notes sounded (voices.keep latest, the room's voices 2).",
    );
    const again = await run(['rerun', 'room.take.jsonl'], folder.path);
    expect(again.out).toContain('{"t":1008000,"type":"off","note":43,"voice":1,"seat":"north"}');
    const south = await explain('room.take.jsonl', '--at', '1s', '--seat', 'south');
    expect(south.out).toContain('E1 at 1.008 s (E1 open): no fret was held');
  });

  it('passes over lines that cannot be read, and says so', async () => {
    const lines = compareTake().split('\n');
    lines[5] = '[nonsense';
    folder.write('torn.take.jsonl', lines.join('\n'));
    const { code, out, err } = await explain('torn.take.jsonl', '--at', '6.1s');
    expect(code).toBe(0);
    expect(out).toContain('C2 at 6.108 s');
    expect(err).toMatch(/^warning: it is not JSON; the line was left out \(torn\.take\.jsonl:6\)/);
  });
});

describe('explain, called wrongly, says what to write', () => {
  it.each([
    [[], 'the take is missing', 2],
    [['hand.take.jsonl'], '--at is missing: the time to explain, such as 12.5s', 2],
    [['hand.take.jsonl', '--at', '6'], '--at takes a time with its unit', 2],
    [['hand.take.jsonl', '--at', '6s', '--around', '20s'], '--around takes 1ms to 10s', 2],
    [['hand.take.jsonl', '--at', '90s'], '--at is after the end of the take, at 12.000 s', 2],
    [['hand.take.jsonl', '--at', '6s', '--pad', 'A1 plck'], 'did you mean "A1 pluck"?', 2],
    [['room.take.jsonl', '--at', '1s'], 'choose a seat with --seat: north, south', 1],
    [
      ['room.take.jsonl', '--at', '1s', '--seat', 'north', '--build', 'x'],
      '--build does not go with a take of a whole room',
      2,
    ],
    [['nowhere.take.jsonl', '--at', '1s'], 'there is no such file', 1],
  ] as const)('%j', async (args, words, exit) => {
    // The time is asked for first, so that a missing take is told of with one.
    const given = args.length === 0 ? ['--at', '1s'] : args;
    const { code, out, err } = await explain(...given);
    expect({ code, out }).toEqual({ code: exit, out: '' });
    expect(err).toContain(words);
  });

  it('and of a take whose notes were made elsewhere, where to look', async () => {
    const header = { take: 1, inputs: 20, full: 127, made: true, instrument: 'bass-4x4' };
    folder.write('made.take.jsonl', `${JSON.stringify(header)}\n[1000000]\n`);
    const { code, err } = await explain('made.take.jsonl', '--at', '0.5s');
    expect(code).toBe(1);
    expect(err).toContain('explain a take that was recorded there');
  });
});
