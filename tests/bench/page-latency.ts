import { spawn, type ChildProcess } from 'node:child_process';
import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import {
  BARE,
  MAIN,
  measure,
  sum,
  untilSaid,
  WARM_UP,
  writeRoom,
  type Latencies,
} from './osc-round-trip.js';

const PAGES = 30;
/** Short rounds and many: how busy the machine is changes from second to second. */
const ROUNDS = 24;
const PLUCKS = 500;
/** Pages are told a good deal as they come; what they cost while they are open is asked here. */
const SETTLE_MS = 400;
/** What a frame of pluckwork's takes for this room, in bytes; to be near enough. */
const FRAME_BYTES = 530;

/** The way of a touch with no page and with many. */
export interface PageLatency {
  readonly alone: Latencies;
  readonly watched: Latencies;
  /** To each page. */
  readonly bytesPerSecond: number;
}

/** Something that forwards plucks, and pages to open meanwhile. */
interface Way {
  readonly ports: readonly [into: number, out: number];
  readonly readers: ChildProcess;
  readonly alone: number[][];
  readonly watched: number[][];
  bytes: number;
  seconds: number;
}

const here = (file: string): string => new URL(file, import.meta.url).pathname;

/**
 * pluckwork with no page and with many, and a bare forwarder beside a bare server of as many pages, all in turn, so
 * that whatever else is done hits all alike. The bare one shows what the readers themselves cost the machine.
 */
export async function pageLatency(): Promise<{ pluckwork: PageLatency; bare: PageLatency }> {
  const folder = mkdtempSync(join(tmpdir(), 'pluckwork-bench-'));
  const room = writeRoom(folder, 19_120, 19_121);
  const children: ChildProcess[] = [];
  const begin = (...args: string[]): ChildProcess => {
    const child = spawn(process.execPath, args, { stdio: 'pipe' });
    children.push(child);
    return child;
  };
  const wayOf = async (ports: Way['ports'], pages: ChildProcess): Promise<Way> => {
    const [, url] = await untilSaid(pages, /Page \((http:[^)]*)\)/);
    const readers = begin(here('./page-readers.js'), url!, String(PAGES));
    await untilSaid(readers, /ready/);
    return { ports, readers, alone: [], watched: [], bytes: 0, seconds: 0 };
  };
  try {
    const play = ['play', room, '--folder', folder, '--quiet', '--page', '0'];
    const own = await wayOf([19_120, 19_121], begin(MAIN, ...play));
    await untilSaid(begin(BARE, '19130', '19131'), /ready/);
    const server = begin(here('./bare-page-server.js'), String(FRAME_BYTES));
    const bare = await wayOf([19_130, 19_131], server);
    for (const { ports } of [own, bare]) await measure(...ports, [WARM_UP]);
    for (let round = 0; round < ROUNDS; round++) {
      for (const way of [own, bare]) await measureBoth(way);
    }
    return { pluckwork: summed(own), bare: summed(bare) };
  } finally {
    for (const child of children) child.kill('SIGTERM');
    rmSync(folder, { recursive: true });
  }
}

async function measureBoth(way: Way): Promise<void> {
  const { ports, readers, alone, watched } = way;
  alone.push(...(await measure(...ports, [PLUCKS])));
  readers.stdin!.write('open\n');
  await untilSaid(readers, /opened/);
  await new Promise((resolve) => setTimeout(resolve, SETTLE_MS));
  const began = performance.now();
  watched.push(...(await measure(...ports, [PLUCKS])));
  way.seconds += (SETTLE_MS + performance.now() - began) / 1_000;
  readers.stdin!.write('close\n');
  const [, came] = await untilSaid(readers, /closed (\d+)/);
  way.bytes += Number(came);
}

function summed({ alone, watched, bytes, seconds }: Way): PageLatency {
  return { alone: sum(alone), watched: sum(watched), bytesPerSecond: bytes / PAGES / seconds };
}
