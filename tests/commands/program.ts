import { spawn, type ChildProcess } from 'node:child_process';
import { mkdirSync, mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { dirname, join } from 'node:path';
import { fileURLToPath } from 'node:url';

/** The built program. */
export const MAIN = fileURLToPath(new URL('../../dist/commands/main.js', import.meta.url));

/** How a process ended and all that it wrote. */
export interface Ended {
  readonly code: number | null;
  readonly signal: NodeJS.Signals | null;
  readonly out: string;
  readonly err: string;
}

/** A running pluckwork, as a person has it in a terminal. */
export interface Program {
  readonly pid: number;
  readonly out: string;
  readonly err: string;
  /** Resolves as soon as what it wrote to either stream fits; rejects where it ends without. */
  saw(pattern: RegExp): Promise<string>;
  signal(name: NodeJS.Signals): void;
  /** Stops listening to a stream, as a pipe's reader that has enough. */
  deaf(stream: 'out' | 'err'): void;
  readonly ended: Promise<Ended>;
}

const running = new Set<ChildProcess>();

/** Ends whatever is still running, whatever became of the test. */
export function endPrograms(): void {
  for (const child of running) child.kill('SIGKILL');
  running.clear();
}
process.once('exit', endPrograms);

/**
 * Starts the built program in a folder.
 *
 * @param env variables beside those of this process
 */
export function start(
  args: readonly string[],
  folder: string,
  env: Readonly<Record<string, string>> = {},
): Program {
  // Serving a page costs half a second of processor time: only what is about pages has one.
  const [command = '', ...others] = args;
  const page = command === 'play' && !others.includes('--page') ? ['--page', 'off'] : [];
  const child = spawn(process.execPath, [MAIN, ...args.slice(0, 1), ...page, ...others], {
    cwd: folder,
    env: { ...process.env, ...env },
    stdio: ['ignore', 'pipe', 'pipe'],
  });
  running.add(child);
  const wrote = { out: '', err: '' };
  const looks = new Set<(over: boolean) => void>();
  const hear = (stream: 'out' | 'err') => (chunk: Buffer) => {
    wrote[stream] += chunk.toString();
    for (const look of looks) look(false);
  };
  child.stdout.on('data', hear('out'));
  child.stderr.on('data', hear('err'));
  const ended = new Promise<Ended>((resolve) => {
    child.on('close', (code, signal) => {
      running.delete(child);
      for (const look of looks) look(true);
      resolve({ code, signal, ...wrote });
    });
  });
  return {
    pid: child.pid!,
    get out() {
      return wrote.out;
    },
    get err() {
      return wrote.err;
    },
    saw: (pattern) =>
      new Promise((resolve, reject) => {
        const look = (over: boolean): void => {
          const found = pattern.exec(wrote.err) ?? pattern.exec(wrote.out);
          if (found) resolve(found[0]);
          else if (over) reject(new Error(`it never said ${String(pattern)}:\n${wrote.err}`));
          else return;
          looks.delete(look);
        };
        looks.add(look);
        look(child.exitCode !== null);
      }),
    signal: (name) => void child.kill(name),
    deaf: (stream) => (stream === 'out' ? child.stdout : child.stderr).destroy(),
    ended,
  };
}

/** Runs the built program to its end. */
export function run(args: readonly string[], folder: string): Promise<Ended> {
  return start(args, folder).ended;
}

/** A folder of a person's files, thrown away by `remove`. */
export function workFolder(): {
  readonly path: string;
  write(name: string, text: string | Uint8Array): string;
  remove(): void;
} {
  const path = mkdtempSync(join(tmpdir(), 'pluckwork-commands-'));
  return {
    path,
    write(name, text) {
      const file = join(path, name);
      mkdirSync(dirname(file), { recursive: true });
      writeFileSync(file, text);
      return file;
    },
    remove() {
      rmSync(path, { recursive: true, force: true });
    },
  };
}
