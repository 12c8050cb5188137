import { spawn } from 'node:child_process';
import { mkdtemp, readFile, rm } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { afterAll, afterEach, beforeEach, expect } from 'vitest';

const RUN = fileURLToPath(new URL('machine/run', import.meta.url));
const CHECKOUT = fileURLToPath(new URL('../..', import.meta.url));

/** What came of a command on the emulated machine. */
export interface MachineRun {
  /** The command's exit status; 124: time ran out, 125: the machine did not boot. */
  readonly code: number;
  /** Standard output and standard error of the command, as they came. */
  readonly output: string;
  /** Where what it wrote under /out is. */
  readonly outDir: string;
  /** Reads a JSON file that it wrote under /out. */
  json(name: string): Promise<unknown>;
  text(name: string): Promise<string>;
  /** Deletes `outDir`. */
  discard(): Promise<void>;
}

/**
 * Runs a command in the checkout on an emulated machine with a real ALSA kernel (see machine/run).
 * A boot takes some 6 s, so put several checks into one.
 *
 * @param timeout in seconds, the boot counted in
 */
export async function runInMachine(
  command: readonly string[],
  { timeout = 240 }: { timeout?: number } = {},
): Promise<MachineRun> {
  const outDir = await mkdtemp(join(tmpdir(), 'pluckwork-out-'));
  let output = '';
  const code = await new Promise<number>((resolve, reject) => {
    const args = [RUN, '-t', String(timeout), '-o', outDir, ...command];
    const child = spawn('bash', args, { cwd: CHECKOUT, stdio: ['ignore', 'pipe', 'pipe'] });
    const keep = (chunk: Buffer): void => {
      output += chunk.toString();
    };
    child.stdout.on('data', keep);
    child.stderr.on('data', keep);
    child.on('error', reject);
    child.on('close', (status) => {
      resolve(status ?? 125);
    });
  });
  const text = (name: string): Promise<string> => readFile(join(outDir, name), 'utf8');
  return {
    code,
    output,
    outDir,
    text,
    json: async (name) => JSON.parse(await text(name)) as unknown,
    discard: () => rm(outDir, { recursive: true, force: true }),
  };
}

/**
 * Runs inside/SCRIPT.mjs on the emulated machine, once for all tests of a file. Where one of them fails and is tried
 * once more, in CI, the whole is run again for that: the machine is as slow as its host is busy, and sound breaks off.
 *
 * @param timeout in seconds, the boot counted in
 * @param ran called with each run before a test looks at it
 */
export function shareRun(
  script: string,
  timeout: number,
  ran: (run: MachineRun) => Promise<void>,
): void {
  const runs: MachineRun[] = [];
  let underway: Promise<void> | null = null;
  let again = process.env['CI'] ? 1 : 0;

  async function begin(): Promise<void> {
    const run = await runInMachine(['node', `tests/alsa/inside/${script}.mjs`], { timeout });
    runs.push(run);
    expect(run.code, run.output).toBe(0);
    await ran(run);
  }

  beforeEach(() => (underway ??= begin()), (timeout + 20) * 1_000);
  afterEach(({ task }) => {
    if (task.result?.state !== 'fail' || again === 0) return;
    again -= 1;
    underway = null;
  });
  afterAll(async () => {
    for (const run of runs) await run.discard();
  });
}
