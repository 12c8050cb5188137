import { spawn, type ChildProcess } from 'node:child_process';
import { createSocket, type Socket } from 'node:dgram';
import { once } from 'node:events';
import { mkdirSync, mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { loadRules } from '../../src/ports/files/files.js';
import { demoUnit } from '../../src/demo/demo.js';
import { readingsOf, seededNumbers, type Gesture, type MadeUnit } from '../../src/demo/gestures.js';
import { MILLISECOND, SECOND } from '../../src/time/micros.js';
import { encodePads } from '../../src/wire/osc-pads.js';
import { BARE, MAIN, untilSaid } from './osc-round-trip.js';

/** Microseconds from the scan in which a pluck shows to the note, or to the same packet. */
export interface HandLatencies {
  readonly median: number;
  readonly p99: number;
  readonly largest: number;
  readonly count: number;
  /** Plucks that sounded with a later scan than the one in which they showed. */
  readonly later: number;
}

export interface HandPace {
  readonly bare: HandLatencies;
  readonly pluckwork: HandLatencies;
}

const PADS = 20;
const STRINGS = 4;
const EVERY = 200 * MILLISECOND;
/** The fret is down before the pluck, and stays while the note sounds. */
const FRET_AHEAD = 60 * MILLISECOND;
const HELD = 120 * MILLISECOND;
const PLUCK = 60 * MILLISECOND;
const REST_FIRST = SECOND;

interface Round {
  readonly packets: readonly Uint8Array[];
  /** By number of the scan: a pluck shows in it. */
  readonly plucks: ReadonlySet<number>;
}

/** Five plucks a second on a unit with noise, each on another string and mostly on another fret. */
function round(unit: MadeUnit, seconds: number, on: number, seed: number): Round {
  const random = seededNumbers(seed);
  const gestures: Gesture[] = [];
  const plucked: { readonly pad: number; readonly at: number }[] = [];
  const length = REST_FIRST + seconds * SECOND;
  for (let at = REST_FIRST, n = 0; at + EVERY <= length; at += EVERY, n++) {
    const string = n % STRINGS;
    const fret = Math.floor(random() * (STRINGS + 1));
    const pad = PADS - STRINGS + string;
    gestures.push({ pad, at, until: at + PLUCK, strength: 0.7 + 0.3 * random() });
    plucked.push({ pad, at });
    if (fret === 0) continue;
    const ahead = { at: at - FRET_AHEAD, until: at + HELD, strength: 1 };
    gestures.push({ pad: (fret - 1) * STRINGS + string, ...ahead });
  }
  const packets: Uint8Array[] = [];
  const plucks = new Set<number>();
  for (const { t, inputs, raws } of readingsOf(gestures, unit, length, seed)) {
    const next = plucked[0];
    if (
      next &&
      t > next.at &&
      raws[next.pad]! >= unit.rest[next.pad]! + on * unit.span[next.pad]!
    ) {
      plucks.add(packets.length);
      plucked.shift();
    }
    packets.push(encodePads({ seat: 'bench', inputs, raws }));
  }
  return { packets, plucks };
}

interface Measured {
  readonly took: readonly number[];
  readonly later: number;
}

const isNote = (bytes: Buffer): boolean => bytes.toString('latin1', 0, 8) === '/note/on';

/** Plays a round at the pace of its time, and waits for an answer to each pluck. */
async function measure(
  out: Socket,
  back: Socket,
  port: number,
  { packets, plucks }: Round,
  bare: boolean,
): Promise<Measured> {
  const took: number[] = [];
  let later = 0;
  let asked = NaN;
  /** The numbers of the scan that was sent last, and of the one that is waited for. */
  let sent = 0;
  let askedIn = 0;
  const onAnswer = (bytes: Buffer): void => {
    const at = performance.now();
    if (Number.isNaN(asked) || !(bare || isNote(bytes))) return;
    took.push((at - asked) * 1_000);
    if (sent > askedIn) later += 1;
    asked = NaN;
  };
  back.on('message', onAnswer);
  const began = performance.now();
  for (let scan = 0; scan < packets.length; scan++) {
    const wait = began + scan * 4 - performance.now();
    if (wait > 0) await new Promise((resolve) => setTimeout(resolve, wait));
    if (plucks.has(scan)) {
      if (!Number.isNaN(asked)) throw new Error('a pluck was not answered');
      askedIn = scan;
      asked = performance.now();
    }
    out.send(packets[scan]!, port, '127.0.0.1');
    sent = scan;
  }
  await new Promise((resolve) => setTimeout(resolve, 300));
  back.off('message', onAnswer);
  if (took.length !== plucks.size) {
    throw new Error(`${String(took.length)} of ${String(plucks.size)} plucks were answered`);
  }
  return { took, later };
}

function sum(all: readonly Measured[]): HandLatencies {
  const sorted = all.flatMap(({ took }) => took).sort((a, b) => a - b);
  const at = (q: number): number =>
    sorted[Math.min(sorted.length - 1, Math.floor(q * sorted.length))]!;
  return {
    median: at(0.5),
    p99: at(0.99),
    largest: sorted.at(-1)!,
    count: sorted.length,
    later: all.reduce((count, { later }) => count + later, 0),
  };
}

function writeRoom(folder: string, unit: MadeUnit, port: number, answer: number): string {
  mkdirSync(join(folder, 'builds'));
  const pads = unit.rest.map((rest, pad) => {
    return { rest, span: unit.span[pad]!, noise: unit.noise, coupling: [] };
  });
  const build = { wiring: pads.map((_, pad) => pad), pads };
  writeFileSync(join(folder, 'builds', 'bench.json'), JSON.stringify(build));
  const room = join(folder, 'bench.yaml');
  writeFileSync(
    room,
    `seats:
  - { name: bench, instrument: bass-4x4, build: bench, from: { osc: ${String(port)} }, rules: instant }
to:
  - osc: { host: 127.0.0.1, port: ${String(answer)} }
`,
  );
  return room;
}

async function listening(port: number): Promise<Socket> {
  const socket = createSocket('udp4');
  socket.bind(port, '127.0.0.1');
  await once(socket, 'listening');
  return socket;
}

const PORTS = { own: [19_120, 19_121], bare: [19_130, 19_131] } as const;

/**
 * A player's own pace: scans of 20 pads with noise, 250 a second, five plucks a second with fret changes, on a
 * calibrated unit, OSC in to OSC out, in turn with a bare forwarder of the same packets in the same run. What a
 * loop keeps warm in the processor's caches goes cold between two plucks here, as it does for a player.
 *
 * @param rounds of each, after one that does not count
 * @param seconds each
 */
export async function handPace(rounds = 4, seconds = 30): Promise<HandPace> {
  const folder = mkdtempSync(join(tmpdir(), 'pluckwork-bench-'));
  const unit = demoUnit(PADS, 5);
  const { touch } = await loadRules('instant', folder);
  const room = writeRoom(folder, unit, ...PORTS.own);
  const children: ChildProcess[] = [
    spawn(process.execPath, [BARE, ...PORTS.bare.map(String)], { stdio: 'pipe' }),
    spawn(process.execPath, [MAIN, 'play', room, '--folder', folder, '--quiet', '--page', 'off'], {
      stdio: 'pipe',
    }),
  ];
  const out = createSocket({
    type: 'udp4',
    lookup: (host, _, done) => {
      done(null, host, 4);
    },
  });
  const backs = { own: await listening(PORTS.own[1]), bare: await listening(PORTS.bare[1]) };
  try {
    await Promise.all([untilSaid(children[0]!, /ready/), untilSaid(children[1]!, /Listening for/)]);
    const all = { own: [] as Measured[], bare: [] as Measured[] };
    for (let n = 0; n <= rounds; n++) {
      const played = round(unit, n === 0 ? 5 : seconds, touch.on, 7 + n);
      for (const which of ['own', 'bare'] as const) {
        const port = PORTS[which][0];
        const measured = await measure(out, backs[which], port, played, which === 'bare');
        if (n > 0) all[which].push(measured);
      }
    }
    return { bare: sum(all.bare), pluckwork: sum(all.own) };
  } finally {
    for (const child of children) child.kill('SIGTERM');
    out.close();
    for (const socket of Object.values(backs)) socket.close();
    rmSync(folder, { recursive: true });
  }
}
