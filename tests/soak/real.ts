import { fork } from 'node:child_process';
import { createSocket } from 'node:dgram';
import { once } from 'node:events';
import { existsSync, readFileSync, readdirSync } from 'node:fs';
import { join } from 'node:path';
import { setTimeout as wait } from 'node:timers/promises';
import { fromBuffer } from 'osc-min';
import { formatBuild } from '../../src/instrument/build.js';
import { padCount } from '../../src/instrument/instrument.js';
import type { Instrument } from '../../src/instrument/types.js';
import { endPrograms, start, workFolder, type Program } from '../commands/program.js';
import { freePort } from '../engines/csound-process.js';
import { shipped } from '../support/kinds.js';
import { now, REST, TOUCHED, type BoardsPlan, type BoardsSaid } from './boards.js';
import { openPages } from './pages.js';
import { growth, threadsOf } from './used.js';

/** A look at the program from outside, once a minute. */
export interface RealLook {
  readonly minutes: number;
  readonly rss: number;
  /** Of its main thread: the least of the minute, in MB, and what keeps it running. */
  readonly heap: number;
  readonly handles: number;
  readonly threads: number;
  /** Files and sockets that are open. */
  readonly files: number;
  readonly plucks: number;
  readonly ons: number;
  /** From a pluck's first packet to its note at the receiver, in ms: the largest of the minute. */
  readonly slowest: number;
}

export interface RealOptions {
  readonly minutes: number;
  readonly seats: number;
  readonly rate: number;
  readonly pages: number;
  /** How often something is looked at, saved or changed, in seconds: 60 for 20 minutes. */
  readonly every: number;
  readonly look: (look: RealLook) => void;
  readonly say: (what: string) => void;
}

export interface RealSoaked {
  readonly looks: readonly RealLook[];
  readonly plucks: number;
  readonly ons: number;
  readonly offs: number;
  /** Plucks of boards that went on, without a note; and notes without a pluck. */
  readonly lost: number;
  readonly extra: number;
  /** In ms, sorted. */
  readonly delays: readonly number[];
  readonly stops: number;
  readonly saves: number;
  readonly seatings: number;
  readonly broken: readonly string[];
}

/** One note a touch, of one pad touched alone. */
const KINDS = ['bass-4x4', 'keys-13', 'drums-6', 'ukulele-4x6'];
/** A pluck whose note has not come by then is lost. */
const LOST_MS = 2_000;
const MOST_GROWN = { rss: 60, heap: 6, handles: 3, threads: 2, files: 3 } as const;

function sounding(instrument: Instrument): number[] {
  switch (instrument.kind) {
    case 'strings':
      return instrument.strings.map(({ pluck }) => pluck);
    case 'keys':
      return instrument.keys.map(({ pad }) => pad);
    case 'hits':
      return instrument.hits.map(({ pad }) => pad);
    case 'holes':
      return [];
  }
}

interface Seat {
  readonly name: string;
  readonly instrument: string;
  readonly pads: number;
  readonly sounding: readonly number[];
}

function roomText(seats: readonly Seat[], into: number, out: number): string {
  const lines = seats.map(
    ({ name, instrument, pads }) =>
      `  - { name: ${name}, instrument: ${instrument}, build: b${String(pads)}, rules: mine, from: { osc: ${String(into)} } }`,
  );
  return `seats:\n${lines.join('\n')}\nvoices: 256\nto:\n  - osc: { host: 127.0.0.1, port: ${String(out)}, messages: counted }\n`;
}

/**
 * A real program with a class of boards that send by UDP, a receiver that counts, and pages that look, while files
 * are saved, a seat comes and goes, and boards stop and come back.
 */
export async function soakReal(options: RealOptions): Promise<RealSoaked> {
  const { minutes, rate, every, say } = options;
  const seats = Array.from({ length: options.seats }, (_, i): Seat => {
    const instrument = KINDS[i % KINDS.length]!;
    const made = shipped(instrument);
    return {
      name: `s${String(i)}`,
      instrument,
      pads: padCount(made),
      sounding: sounding(made),
    };
  });
  const extra: Seat = { ...seats[0]!, name: 'extra' };
  const folder = workFolder();
  const [into, pagePort] = [await freePort(), await freePort()];
  const ear = createSocket('udp4');
  ear.bind(0, '127.0.0.1');
  await once(ear, 'listening');
  const room = (with_: readonly Seat[]): string => roomText(with_, into, ear.address().port);
  for (const { pads } of [...seats, extra]) {
    const wiring = Array.from({ length: pads }, (_, pad) => pad);
    const one = { rest: REST, span: TOUCHED - REST, noise: 8, coupling: [] };
    folder.write(
      `builds/b${String(pads)}.json`,
      formatBuild({ wiring, pads: wiring.map(() => one) }),
    );
  }
  folder.write(
    'engines/counted.yaml',
    'on: /on/{seat} voice:i\noff: /off/{seat} voice:i\nsilence: /silence 0:i\n',
  );
  const rules = (n: number): string =>
    `# saved ${String(n)}\ntouch:\n  lift: ${n % 2 ? '24ms' : '25ms'}\n`;
  folder.write('rules/mine.yaml', rules(0));
  folder.write('rooms/soak.yaml', room(seats));

  const broken: string[] = [];
  const open = new Set<number>();
  /** By seat, plucks whose notes have not come yet, in ms. */
  const due = new Map(seats.map(({ name }) => [name, [] as number[]]));
  const delays: number[] = [];
  let [plucks, ons, offs, lost, surplus, slowest, stops] = [0, 0, 0, 0, 0, 0, 0];
  ear.on('message', (packet) => {
    for (const message of messagesIn(fromBuffer(packet))) hear(message);
  });
  function hear({ address, args }: Message): void {
    const [, what, name = ''] = address.split('/');
    const voice = Number(args[0]?.value);
    if (what === 'off') {
      offs++;
      if (!open.delete(voice)) broken.push(`voice ${String(voice)} ended that did not sound`);
    } else if (what === 'on') {
      ons++;
      if (open.has(voice)) broken.push(`voice ${String(voice)} began twice`);
      open.add(voice);
      const own = due.get(name);
      if (!own) return;
      const at = own.shift();
      if (at === undefined) surplus++;
      else {
        const delay = now() - at;
        delays.push(delay);
        slowest = Math.max(slowest, delay);
      }
    }
  }
  const sweep = (): void => {
    for (const own of due.values()) {
      while (own[0] !== undefined && now() - own[0] > LOST_MS) {
        own.shift();
        lost++;
      }
    }
  };

  const report = join(folder.path, 'report.jsonl');
  const program = startReported(
    report,
    every,
    ['play', 'soak', '--quiet', '--page', String(pagePort)],
    folder.path,
  );
  try {
    const served = await program.saw(/Page \(http:[^)]*\)/);
    await program.saw(/Playing/);
    const pages = await openPages(/http:[^)]*/.exec(served)![0], options.pages);
    say(`${String(options.pages)} pages are open in ${pages.what}`);
    const plan: BoardsPlan = {
      port: into,
      rate,
      stopEvery: every * 667,
      stopFor: 5_000,
      boards: [...seats, extra].map(({ name, pads, sounding: of }) => ({
        seat: name,
        inputs: pads,
        sounding: of,
      })),
    };
    const boards = fork(new URL('./boards.ts', import.meta.url), [JSON.stringify(plan)]);
    const over = once(boards, 'exit');
    boards.on('message', (said: BoardsSaid) => {
      if (said.said === 'stopped') stops++;
      if (said.said !== 'pluck') return;
      const own = due.get(seats[said.board]?.name ?? '');
      if (!own) return;
      plucks++;
      own.push(said.at);
    });

    const looks: RealLook[] = [];
    let [saves, seatings] = [0, 0];
    const begun = now();
    for (let n = 1; n * every <= minutes * 60; n++) {
      await wait(Math.max(0, begun + n * every * 1_000 - now()));
      sweep();
      const look = {
        minutes: (now() - begun) / 60_000,
        ...lookAt(program.pid, report),
        plucks,
        ons,
        slowest,
      };
      looks.push(look);
      options.look(look);
      slowest = 0;
      folder.write('rules/mine.yaml', rules(++saves));
      if (n % 3 === 0) {
        seatings++;
        folder.write('rooms/soak.yaml', room(seatings % 2 === 1 ? [...seats, extra] : seats));
      }
    }
    boards.send('end');
    await over;
    await wait(LOST_MS + 6_000);
    sweep();
    if (open.size > 0) broken.push(`${String(open.size)} notes sound after all boards stopped`);
    broken.push(...(await pages.close()));
    program.signal('SIGINT');
    const { code, err } = await program.ended;
    await wait(200);
    if (code !== 0) broken.push(`it ended with ${String(code)}: ${err.slice(-2_000)}`);
    if (offs !== ons) broken.push(`${String(ons)} notes began, and ${String(offs)} ended`);
    if (lost > 0) broken.push(`${String(lost)} plucks have no note`);
    if (surplus > 0) broken.push(`${String(surplus)} notes have no pluck`);
    for (const key of ['rss', 'heap', 'handles', 'threads', 'files'] as const) {
      const grown = growth(looks.map((one) => one[key]));
      if (grown > MOST_GROWN[key]) broken.push(`${key} grew by ${grown.toFixed(1)}`);
    }
    delays.sort((a, b) => a - b);
    say(err.split('\n').slice(-25).join('\n'));
    return {
      looks,
      plucks,
      ons,
      offs,
      lost,
      extra: surplus,
      delays,
      stops,
      saves,
      seatings,
      broken,
    };
  } finally {
    endPrograms();
    ear.close();
    folder.remove();
  }
}

interface Message {
  readonly address: string;
  readonly args: readonly { readonly value: unknown }[];
}

/** Of a packet or of what a bundle holds. */
function messagesIn(packet: ReturnType<typeof fromBuffer>): Message[] {
  return 'elements' in packet ? packet.elements.flatMap(messagesIn) : [packet as Message];
}

/** Starts the program with what reports its use from inside. */
function startReported(
  report: string,
  every: number,
  args: readonly string[],
  folder: string,
): Program {
  const { NODE_OPTIONS } = process.env;
  process.env['NODE_OPTIONS'] = `--import ${new URL('./reporter.js', import.meta.url).href}`;
  process.env['SOAK_REPORT'] = report;
  process.env['SOAK_EVERY'] = String(every * 900);
  try {
    return start(args, folder);
  } finally {
    if (NODE_OPTIONS === undefined) delete process.env['NODE_OPTIONS'];
    else process.env['NODE_OPTIONS'] = NODE_OPTIONS;
  }
}

function lookAt(
  pid: number,
  report: string,
): Pick<RealLook, 'rss' | 'heap' | 'handles' | 'threads' | 'files'> {
  const status = readFileSync(`/proc/${String(pid)}/status`, 'utf8');
  const last = existsSync(report)
    ? readFileSync(report, 'utf8').trimEnd().split('\n').at(-1)!
    : '{}';
  const { heap = NaN, handles = NaN } = JSON.parse(last) as { heap?: number; handles?: number };
  return {
    rss: Number(/^VmRSS:\s*(\d+)/m.exec(status)?.[1] ?? NaN) / 1_024,
    heap,
    handles,
    threads: threadsOf(pid),
    files: readdirSync(`/proc/${String(pid)}/fd`).length,
  };
}
