import { spawn } from 'node:child_process';
import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import {
  MAIN,
  measure,
  PLUCKS_A_ROUND,
  sum,
  untilSaid,
  WARM_UP,
  writeRoom,
  type Latencies,
} from './osc-round-trip.js';

const READERS = new URL('./page-readers.js', import.meta.url).pathname;
const PAGES = 30;
const ROUNDS = 6;
const [IN, OUT] = [19_120, 19_121];

export interface PageLatency {
  readonly alone: Latencies;
  readonly watched: Latencies;
  /** To each page. */
  readonly bytesPerSecond: number;
}

/** The way of a touch with no page and with many, in turn, so that whatever else is done hits both alike. */
export async function pageLatency(): Promise<PageLatency> {
  const folder = mkdtempSync(join(tmpdir(), 'pluckwork-bench-'));
  const room = writeRoom(folder, IN, OUT);
  const args = ['play', room, '--folder', folder, '--quiet', '--page', '0'];
  const own = spawn(process.execPath, [MAIN, ...args], { stdio: 'pipe' });
  let readers: ReturnType<typeof spawn> | null = null;
  try {
    const [, url] = await untilSaid(own, /Page \((http:[^)]*)\)/);
    readers = spawn(process.execPath, [READERS, url!, String(PAGES)], { stdio: 'pipe' });
    await untilSaid(readers, /ready/);
    const alone: number[][] = [];
    const watched: number[][] = [];
    let [bytes, seconds] = [0, 0];
    await measure(IN, OUT, [WARM_UP]);
    for (let round = 0; round < ROUNDS; round++) {
      alone.push(...(await measure(IN, OUT, [PLUCKS_A_ROUND])));
      readers.stdin!.write('open\n');
      await untilSaid(readers, /opened/);
      const began = performance.now();
      watched.push(...(await measure(IN, OUT, [PLUCKS_A_ROUND])));
      seconds += (performance.now() - began) / 1_000;
      readers.stdin!.write('close\n');
      const [, came] = await untilSaid(readers, /closed (\d+)/);
      bytes += Number(came);
    }
    return {
      alone: sum(alone),
      watched: sum(watched),
      bytesPerSecond: bytes / PAGES / seconds,
    };
  } finally {
    own.kill('SIGTERM');
    readers?.kill();
    rmSync(folder, { recursive: true });
  }
}
