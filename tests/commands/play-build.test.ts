import { readFileSync } from 'node:fs';
import { join } from 'node:path';
import { afterAll, afterEach, describe, expect, it } from 'vitest';
import { formatBuild } from '../../src/instrument/build.js';
import { readingsOf, type MadeUnit } from '../../src/demo/gestures.js';
import type { Scan } from '../../src/wire/scan.js';
import { freePort } from '../engines/csound-process.js';
import { board, closeSockets, receiver, type Receiver } from './osc-hands.js';
import { A1, D2, E1, G2, plucked, UNIT } from './performance.js';
import { endPrograms, run, start, workFolder, type Program } from './program.js';

const folder = workFolder();
afterEach(() => {
  endPrograms();
  closeSockets();
});
afterAll(folder.remove);

/** What a perfect calibration of a unit would write, in counts of `1 / part` of its own. */
function buildOf({ rest, span }: MadeUnit, part = 1): string {
  const pads = rest.map((value, pad) => ({
    rest: value / part,
    span: span[pad]! / part,
    noise: 10 / part,
    coupling: [],
  }));
  return formatBuild({ wiring: pads.map((_, pad) => pad), pads });
}

/** Units of one plan rest where their wires have them rest, hundreds of counts apart. */
const OTHER: MadeUnit = {
  ...UNIT,
  rest: UNIT.rest.map((rest, pad) => rest + 600 * ((pad % 3) - 1)),
};

/** Two seconds of nobody, then a note on each string. */
const four = (): Generator<Scan, void> =>
  readingsOf(
    [G2, D2, A1, E1].flatMap((string, i) => plucked(string, 3, 2_000 + 500 * i, 2_300 + 500 * i)),
    UNIT,
    4_200_000,
    7,
  );

const tenBits = function* (scans: Iterable<Scan>): Generator<Scan> {
  for (const scan of scans) yield { ...scan, raws: scan.raws.map((raw) => Math.round(raw / 16)) };
};

interface Playing {
  readonly program: Program;
  readonly synth: Receiver;
}

/** A room of one seat by the name of north, which plays by a build, and a board that plays four notes. */
async function playing(build: string, scans: Iterable<Scan>, from = ''): Promise<Playing> {
  const [synth, port] = [await receiver(), await freePort()];
  folder.write('builds/north.json', build);
  folder.write(
    'rooms/hall.yaml',
    `seats:
  - { name: north, instrument: bass-4x4, build: north, from: { osc: ${String(port)}${from} } }
to:
  - osc: { host: 127.0.0.1, port: ${String(synth.port)} }
`,
  );
  const program = start(['play', 'hall', '--record', 'kept'], folder.path);
  await program.saw(/Playing/);
  await (await board(port)).play('north', scans);
  return { program, synth };
}

const begun = ({ heard }: Receiver): unknown[] =>
  heard.filter(({ address }) => address === '/note/on').map(({ args }) => args[1]);

/** The third frets of the strings, in the order in which they were plucked. */
const ASKED = [46, 41, 36, 31];

describe('a build that is not of the unit that plays', { timeout: 120_000 }, () => {
  it.each([
    {
      what: 'another unit',
      build: buildOf(OTHER),
      scans: four,
      from: '',
      says: /build "north" does not fit this unit: at rest, \d+ of 20 pads read what they never can/,
    },
    {
      what: 'a board of 10 bits, on a build made at 14',
      build: buildOf(UNIT),
      scans: () => tenBits(four()),
      from: ', full: 1023',
      says: /build "north" does not fit this unit: it holds readings beyond 1023/,
    },
    {
      what: 'a board of 14 bits, on a build made at 10',
      build: buildOf(UNIT, 16),
      scans: four,
      from: '',
      says: /build "north" does not fit this unit: at rest, its pads read about 16 times what the build says/,
    },
  ])('is told of once, and it plays all the same: $what', async ({ build, scans, from, says }) => {
    const { program, synth } = await playing(build, scans(), from);
    await synth.heardThat(() => begun(synth).length >= 4);
    program.signal('SIGINT');
    const { code, err, out } = await program.ended;
    expect(code, err).toBe(0);
    expect(`${out}${err}`.match(/does not fit this unit/g)).toHaveLength(1);
    expect(`${out}${err}`).toMatch(says);
    expect(begun(synth)).toEqual(ASKED);
    // What was swapped meanwhile is in the take.
    const again = await run(['rerun', 'kept/latest/north.take.jsonl'], folder.path);
    expect([again.code, again.err]).toEqual([0, '']);
    expect(again.out).toBe(readFileSync(join(folder.path, 'kept/latest/notes.jsonl'), 'utf8'));
  });

  it('says nothing of the unit’s own', async () => {
    const { program, synth } = await playing(buildOf(UNIT), four());
    await synth.heardThat(() => begun(synth).length >= 4);
    program.signal('SIGINT');
    const { code, err, out } = await program.ended;
    expect(code, err).toBe(0);
    expect(`${out}${err}`).not.toMatch(/does not fit|changed places/);
    expect(begun(synth)).toEqual(ASKED);
  });
});
