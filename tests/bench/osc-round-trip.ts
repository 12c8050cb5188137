import { spawn, type ChildProcess } from 'node:child_process';
import { createSocket } from 'node:dgram';
import { mkdirSync, mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { once } from 'node:events';
import { encodePads } from '../../src/wire/osc-pads.js';

export const MAIN = new URL('../../dist/commands/main.js', import.meta.url).pathname;
export const BARE = new URL('./bare-forwarder.js', import.meta.url).pathname;

/** Microseconds from a pad's reading sent to the note (or the packet) received. */
export interface Latencies {
  readonly median: number;
  readonly p99: number;
  readonly count: number;
}

const REST = 1_000;
const FULL_TOUCH = 1_600;
/** Forty strings without frets, so that a pluck a millisecond leaves each pad time to be lifted. */
const PLUCKS = Array.from({ length: 40 }, (_, pad) => pad);
const GAP_MS = 1;
export const WARM_UP = 3_000;
const ROUNDS = 5;
const PLUCKS_A_ROUND = 1_000;

function quantile(sorted: readonly number[], q: number): number {
  return sorted[Math.min(sorted.length - 1, Math.floor(q * sorted.length))]!;
}

/** A room of one calibrated unit that answers at once, OSC in and OSC out. */
export function writeRoom(folder: string, port: number, answer: number): string {
  mkdirSync(join(folder, 'builds'), { recursive: true });
  mkdirSync(join(folder, 'instruments'), { recursive: true });
  const strings = PLUCKS.map((pluck) => `  - { open: C3, pluck: ${String(pluck)} }\n`);
  writeFileSync(
    join(folder, 'instruments', 'harp.yaml'),
    `name: Bench harp\nkind: strings\nsound: 47\nstrings:\n${strings.join('')}`,
  );
  // As instant, with rings so short that a pluck ends no older note: one message in, one out.
  mkdirSync(join(folder, 'rules'), { recursive: true });
  writeFileSync(
    join(folder, 'rules', 'instant-short.yaml'),
    'strength: { readings: 0 }\nstrings: { ring: 10ms }\nvoices: { most: 40 }\n',
  );
  const pads = PLUCKS.map(() => ({ rest: REST, span: 500, noise: 0, coupling: [] }));
  const build = { wiring: pads.map((_, pad) => pad), pads };
  writeFileSync(join(folder, 'builds', 'bench.json'), JSON.stringify(build));
  const room = join(folder, 'bench.yaml');
  writeFileSync(
    room,
    `seats:
  - { name: bench, instrument: harp, build: bench, from: { osc: ${String(port)} }, rules: instant-short }
to:
  - osc: { host: 127.0.0.1, port: ${String(answer)} }
`,
  );
  return room;
}

export function untilSaid(child: ChildProcess, words: RegExp): Promise<RegExpExecArray> {
  return new Promise((resolve, reject) => {
    let said = '';
    const over = (): void => {
      for (const stream of [child.stdout, child.stderr]) stream?.off('data', hear);
      child.off('exit', ended);
    };
    const hear = (bytes: Buffer): void => {
      said += bytes.toString();
      const found = words.exec(said);
      if (!found) return;
      over();
      resolve(found);
    };
    const ended = (): void => {
      over();
      reject(new Error(`it ended too early, having said: ${said}`));
    };
    for (const stream of [child.stdout, child.stderr]) stream?.on('data', hear);
    child.on('exit', ended);
  });
}

/** Sends plucks one at a time to `port` and waits for what comes back to `answer`. */
export async function measure(
  port: number,
  answer: number,
  counts: readonly number[],
): Promise<number[][]> {
  const lookup = (
    host: string,
    _: unknown,
    done: (e: null, a: string, f: number) => void,
  ): void => {
    done(null, host, 4);
  };
  const out = createSocket({ type: 'udp4', lookup });
  const back = createSocket('udp4');
  back.bind(answer, '127.0.0.1');
  await once(back, 'listening');
  let heard: ((at: number) => void) | null = null;
  back.on('message', (bytes) => {
    // A touch: `/note/on` from pluckwork, the very packet from the bare forwarder.
    const touched =
      bytes[1] === 0x6e ? bytes[7] === 0x6e : bytes.readInt32BE(bytes.length - 4) > REST;
    if (touched && heard) heard(performance.now());
  });
  const touch = PLUCKS.map((pad) =>
    encodePads({ seat: 'bench', inputs: [pad], raws: [FULL_TOUCH] }),
  );
  const rest = PLUCKS.map((pad) => encodePads({ seat: 'bench', inputs: [pad], raws: [REST] }));
  const send = (packet: Uint8Array): void => {
    out.send(packet, port, '127.0.0.1');
  };
  const pause = (ms: number): Promise<void> => new Promise((resolve) => setTimeout(resolve, ms));

  for (const packet of rest) send(packet);
  await pause(200);
  const rounds: number[][] = [];
  let n = 0;
  for (const count of counts) {
    const took: number[] = [];
    for (let i = 0; i < count; i++, n++) {
      const which = n % PLUCKS.length;
      const answered = new Promise<number>((resolve, reject) => {
        const late = setTimeout(() => reject(new Error(`no answer to pluck ${String(n)}`)), 2_000);
        heard = (at) => {
          heard = null;
          clearTimeout(late);
          resolve(at);
        };
      });
      const sent = performance.now();
      send(touch[which]!);
      took.push((await answered) - sent);
      send(rest[which]!);
      await pause(GAP_MS);
    }
    rounds.push(took.map((ms) => ms * 1_000));
  }
  out.close();
  back.close();
  return rounds;
}

export function sum(rounds: readonly number[][]): Latencies {
  const sorted = rounds.flat().sort((a, b) => a - b);
  return { median: quantile(sorted, 0.5), p99: quantile(sorted, 0.99), count: sorted.length };
}

/** Measures both in turn, in one run, so that whatever else the machine does hits both alike. */
export async function oscRoundTrip(): Promise<{ bare: Latencies; pluckwork: Latencies }> {
  const folder = mkdtempSync(join(tmpdir(), 'pluckwork-bench-'));
  const room = writeRoom(folder, 19_100, 19_101);
  const bare = spawn(process.execPath, [BARE, '19110', '19111'], { stdio: 'pipe' });
  const own = spawn(process.execPath, [MAIN, 'play', room, '--folder', folder, '--quiet'], {
    stdio: 'pipe',
  });
  try {
    await Promise.all([untilSaid(bare, /ready/), untilSaid(own, /Listening for boards/)]);
    const ours: number[][] = [];
    const theirs: number[][] = [];
    await measure(19_100, 19_101, [WARM_UP]);
    await measure(19_110, 19_111, [WARM_UP]);
    for (let round = 0; round < ROUNDS; round++) {
      ours.push(...(await measure(19_100, 19_101, [PLUCKS_A_ROUND])));
      theirs.push(...(await measure(19_110, 19_111, [PLUCKS_A_ROUND])));
    }
    return { bare: sum(theirs), pluckwork: sum(ours) };
  } finally {
    own.kill('SIGTERM');
    bare.kill();
    rmSync(folder, { recursive: true });
  }
}
