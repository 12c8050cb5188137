import { spawn, spawnSync, type ChildProcess } from 'node:child_process';
import { createSocket } from 'node:dgram';
import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';

/** Debian's csound, playing config/engines/plucked.csd into a WAV as time passes. */
export interface Csound {
  readonly port: number;
  readonly wav: string;
  /** Ends it and waits until the WAV is whole. */
  stop(): Promise<void>;
  /** Ends it whatever happened, and removes the WAV. */
  remove(): Promise<void>;
}

/** It starts in about a second; a machine that is busy may take longer. */
const START_MS = 60_000;
const END_MS = 10_000;

export async function startCsound(): Promise<Csound> {
  const folder = mkdtempSync(join(tmpdir(), 'pluckwork-csound-'));
  const wav = join(folder, 'played.wav');
  const port = await freePort();
  const child = spawn('csound', [
    // Real time without a sound card: Csound's own dummy output keeps the pace.
    ...['-odac', '-+rtaudio=null', `--omacro:PORT=${String(port)}`, `--omacro:RECORD=${wav}`],
    'config/engines/plucked.csd',
  ]);
  const ended = new Promise<void>((resolve) => {
    child.once('error', () => {
      resolve();
    });
    child.once('exit', () => {
      resolve();
    });
  });
  const stop = (): Promise<void> => end(child, ended);
  const remove = async (): Promise<void> => {
    await stop();
    rmSync(folder, { recursive: true, force: true });
  };
  try {
    await ready(child, `listening at UDP port ${String(port)}`);
  } catch (error) {
    await remove();
    throw error;
  }
  return { port, wav, stop, remove };
}

function ready(child: ChildProcess, words: string): Promise<void> {
  return new Promise((resolve, reject) => {
    let said = '';
    const late = setTimeout(() => {
      reject(new Error(`csound did not get ready; it said:\n${said}`));
    }, START_MS);
    const hear = (text: Buffer): void => {
      said += text.toString();
      if (!said.includes(words)) return;
      clearTimeout(late);
      resolve();
    };
    child.stdout?.on('data', hear);
    child.stderr?.on('data', hear);
    child.once('error', () => {
      clearTimeout(late);
      reject(new Error("csound cannot be started: install Debian's package csound"));
    });
    child.once('exit', () => {
      clearTimeout(late);
      reject(new Error(`csound ended before it was ready; it said:\n${said}`));
    });
  });
}

async function end(child: ChildProcess, ended: Promise<void>): Promise<void> {
  if (child.pid === undefined || child.exitCode !== null || child.signalCode !== null) return;
  child.kill('SIGTERM');
  const hard = setTimeout(() => child.kill('SIGKILL'), END_MS);
  await ended;
  clearTimeout(hard);
}

/** A UDP port that nobody held a moment ago. */
export function freePort(): Promise<number> {
  return new Promise((resolve) => {
    const socket = createSocket('udp4');
    socket.bind(0, () => {
      const { port } = socket.address();
      socket.close(() => {
        resolve(port);
      });
    });
  });
}

/** Runs a tool of Debian's; a missing one is a failure, never a skipped test. */
export function tool(name: string, args: readonly string[], debianPackage: string): string {
  const { error, status, stdout, stderr } = spawnSync(name, args, { encoding: 'utf8' });
  if (error) throw new Error(`${name} cannot be run: install Debian's package ${debianPackage}`);
  if (status !== 0) throw new Error(`${name} failed: ${stderr}`);
  return stdout + stderr;
}
