import { mkdtempSync, readdirSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { gzipSync } from 'node:zlib';
import { formatBuild, parseBuild } from '../../../src/instrument/build.js';
import { FileFault } from '../../../src/instrument/fault.js';
import { parseInstrument } from '../../../src/instrument/instrument.js';
import { parseRoom } from '../../../src/instrument/room.js';
import { parseRules, PLAIN } from '../../../src/instrument/rules.js';
import type { Rules } from '../../../src/instrument/types.js';
import { changedRulesText } from '../../../src/page/host/rules-text.js';
import { asked } from '../../../src/page/link/asks.js';
import { parseTemplates } from '../../../src/ports/files/templates.js';
import { TakeFileFault } from '../../../src/ports/files/fault.js';
import { readTakeFile } from '../../../src/ports/takes/read.js';
import { plainRoom } from '../../../src/room/plan.js';
import { NotATake, openTake, type OpenTake } from '../../../src/takes/read.js';
import { readNotes } from '../../../src/takes/read-notes.js';
import { isRoomTake, roomHeader } from '../../../src/takes/room-header.js';
import { openRoomTake } from '../../../src/takes/room-take.js';
import { formatHeader } from '../../../src/takes/take.js';
import { planTakeBy, TakePlanFault } from '../../../src/takes/take-plan.js';
import { BASS } from '../../support/bass.js';
import { Account, type Feed } from './fed.js';
import { numbersOf } from './midi-bytes.js';
import { spoilBytes, spoilText } from './spoil.js';

/** A kind of file: good ones, and what reads them. It says in words what came of one. */
interface Kind {
  readonly name: string;
  /** How many of a hundred files are of this kind. */
  readonly share: number;
  readonly good: readonly string[];
  read(text: string): void | Promise<void>;
}

const FILE = 'spoilt';

function textsIn(folder: string, ending: string): string[] {
  return readdirSync(folder)
    .filter((name) => name.endsWith(ending))
    .map((name) => readFileSync(join(folder, name), 'utf8'));
}

/** The first lines of the recorded cases: a fault of one line shows in a short take too. */
const takes = textsIn('tests/takes/cases', '.take.jsonl').map((text) =>
  text.split('\n').slice(0, 40).join('\n'),
);

const builds = [1, 20].map((count) => {
  const wiring = Array.from({ length: count }, (_, i) => (i === 3 ? null : i));
  const coupling = [{ from: 0, share: 0.1 }];
  const pads = wiring.map((_, i) =>
    i === 3 ? null : { rest: 9.5, span: 500, noise: 1, coupling: i ? coupling : [] },
  );
  return formatBuild({ wiring, pads });
});

const ASKS = [
  { ask: 'seat', seat: 1, level: 0.5, mute: true },
  { ask: 'room', scale: [0, 4, 7], duck: 9 },
  { ask: 'press', seat: 0, pad: 3, strength: 0.5 },
  { ask: 'try', seat: 0, values: { 'touch.lift': '30ms', 'strings.stop': 'latest' } },
  { ask: 'guide', seat: 0, guide: 'wire', do: 'begin' },
  { ask: 'keep', seat: 0, name: 'mine' },
].map((ask, id) => JSON.stringify({ id, ask }));

/** A room of two seats, with changes, swaps, resets and notes of another computer in its lines. */
function roomTake(): string {
  const { mixes, ...room } = plainRoom(2);
  const instrument = { name: 'b', kind: 'hits', sound: 1, hits: [{ drum: 36, pad: 0 }] };
  const seats = mixes.map((mix, i) => ({
    name: `s${String(i)}`,
    inputs: 3,
    full: 127,
    decided: false,
    made: i === 1,
    instrument,
    build: null,
    rules: 'plain',
    ...mix,
  }));
  const header = roomHeader({ ...room, voices: 8, scale: null, seats });
  const lines = [
    '[5,0,1,2,100]',
    '[9,1,0]',
    '{"t":10,"change":{"seat":"s1","level":0.5,"mute":true}}',
    '{"t":11,"change":{"duck":3,"scale":[0,7]}}',
    '{"t":12,"event":"lost","seat":"s0"}',
    '{"t":13,"swap":{"rules":{"name":"x","touch":{"on":0.5}}},"seat":"s0"}',
    '{"t":14,"played":{"on":true,"voice":1,"note":60,"velocity":9,"strength":0.5,"string":0,"fret":0,"how":"pluck"},"seat":"s1"}',
    '{"t":15,"played":{"on":false,"voice":1,"slurred":false},"seat":"s1"}',
  ];
  return `${[formatHeader(header), ...lines].join('\n')}\n`;
}

async function readAll(take: OpenTake): Promise<void> {
  const report = ({ line, what }: { line: number; what: string }): void => {
    if (!(line >= 1) || what === '') throw new Error(`a line is refused without its number or why`);
  };
  const events = isRoomTake(take.header)
    ? openRoomTake(take, FILE).events(report)
    : take.events(report);
  for await (const event of events) void event;
  const missing = (name: string): Promise<never> =>
    Promise.reject(new TakePlanFault(`there is no "${name}"`, 'build'));
  const files = {
    instrument: () => Promise.resolve(BASS),
    build: missing,
    rules: () => Promise.resolve(PLAIN),
    carried: (rules: Rules) => Promise.resolve(rules),
  };
  if (isRoomTake(take.header)) return;
  await planTakeBy(FILE, take.header, files, {});
}

function kindsOf(folder: string): Kind[] {
  const packed = join(folder, 'spoilt.take.jsonl.gz');
  const rules = textsIn('config/rules', '.yaml');
  const kinds = ['instruments', 'rules', 'rooms', 'engines'].map((name) =>
    textsIn(`config/${name}`, '.yaml'),
  );
  const [instruments = [], , rooms = [], engines = []] = kinds;
  const wholeTakes = [...takes, roomTake()];
  return [
    {
      name: 'instruments',
      share: 12,
      good: instruments,
      read: (text) => void parseInstrument(text, FILE),
    },
    {
      name: 'rules',
      share: 10,
      good: rules,
      read: (text) => {
        const read = parseRules(text, FILE);
        // What a page does with a file that is right.
        changedRulesText(text, read, PLAIN);
      },
    },
    { name: 'rooms', share: 12, good: rooms, read: (text) => void parseRoom(text, FILE) },
    { name: 'engines', share: 5, good: engines, read: (text) => void parseTemplates(text, FILE) },
    { name: 'builds', share: 10, good: builds, read: (text) => void parseBuild(text, FILE) },
    {
      name: 'takes',
      share: 35,
      good: wholeTakes,
      read: async (text) => readAll(await openTake(text)),
    },
    {
      name: 'packed takes',
      share: 4,
      good: wholeTakes,
      read: async (text) => {
        const random = numbersOf(text.length);
        const bytes = gzipSync(text);
        writeFileSync(packed, random() < 0.5 ? spoilBytes(bytes, random) : bytes);
        await readAll(await readTakeFile(packed));
      },
    },
    {
      name: 'notes',
      share: 6,
      good: textsIn('tests/takes/cases', '.notes.jsonl'),
      read: (text) => {
        for (const { line, what } of readNotes(text).problems) {
          if (!(line >= 1) || what === '')
            throw new Error('a line is refused without its number or why');
        }
      },
    },
    {
      name: 'asks of pages',
      share: 6,
      good: ASKS,
      read: (text) => {
        let data: unknown;
        try {
          data = JSON.parse(text);
        } catch {
          throw new Refused();
        }
        if (!asked.safeParse(data).success) throw new Refused();
      },
    },
  ];
}

class Refused extends Error {}

/** Whether an error says in words what is wrong with the file, and where. */
function isSaid(error: unknown): boolean {
  if (error instanceof FileFault) {
    return (
      error.problems.length > 0 &&
      error.problems.every(({ file, at, found, allowed, fix }) => {
        const where = at === null || (at.line >= 1 && at.column >= 1);
        return where && file.startsWith(FILE) && found !== '' && allowed !== '' && fix !== '';
      })
    );
  }
  const kinds = [TakeFileFault, NotATake, TakePlanFault, Refused];
  return kinds.some((kind) => error instanceof kind);
}

/**
 * Feeds files of every kind, each good but for a few things. What reads one gives its value or says what is
 * wrong and where.
 */
export const feedFiles: Feed = async (seed, count, progress) => {
  const account = new Account(count, progress);
  const random = numbersOf(seed);
  const folder = mkdtempSync(join(tmpdir(), 'pluckwork-files-'));
  const kinds = kindsOf(folder);
  const all = kinds.flatMap(({ good }) => good);
  const drawn = kinds.flatMap((kind) => Array.from({ length: kind.share }, () => kind));
  // A trace costs more than reading a file. With --seed and --count, and this line left out, it is there.
  const { stackTraceLimit } = Error;
  Error.stackTraceLimit = 1;
  try {
    for (let n = 0; account.left > 0; n++) {
      const kind = drawn[Math.floor(random() * drawn.length)]!;
      const good = kind.good[Math.floor(random() * kind.good.length)]!;
      const text = spoilText(good, all, random);
      await account.feedOne(`seed ${String(seed)}, file ${String(n)} (${kind.name})`, async () => {
        try {
          await kind.read(text);
          account.add(`${kind.name}: taken`);
        } catch (error) {
          if (!isSaid(error)) throw error;
          account.add(`${kind.name}: refused`);
        }
      });
    }
  } finally {
    Error.stackTraceLimit = stackTraceLimit;
    rmSync(folder, { recursive: true, force: true });
  }
  return account.end();
};
