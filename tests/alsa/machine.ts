import { spawn } from 'node:child_process';
import { mkdtemp, readFile, rm } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';

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
