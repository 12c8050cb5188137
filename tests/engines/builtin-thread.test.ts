import { spawn } from 'node:child_process';
import { createInterface } from 'node:readline';
import { expect, it, describe } from 'vitest';
import type { Notice } from '../../src/ports/contracts.js';

/*
 * The built engine in a process of its own, as people run it, without a sound card: ALSA is pointed at a card
 * that does not exist, and at no sound server. (With one: tests/alsa.)
 */
const PLAY = new URL('./builtin-play.mjs', import.meta.url).pathname;

interface Played {
  readonly code: number | null;
  readonly signal: string | null;
  readonly notices: Notice[];
  readonly closedInMs: number | undefined;
  readonly seconds: number;
}

async function play(...args: string[]): Promise<Played> {
  const begin = performance.now();
  const nowhere = { ALSA_CARD: 'none', XDG_RUNTIME_DIR: '/nowhere', PULSE_SERVER: '/nowhere' };
  const env = { ...process.env, ...nowhere, NOTE_MS: '50', READY_MS: '1000' };
  const child = spawn(process.execPath, [PLAY, ...args], {
    env,
    stdio: ['ignore', 'pipe', 'ignore'],
  });
  const notices: Notice[] = [];
  let closedInMs: number | undefined;
  createInterface(child.stdout).on('line', (line) => {
    const said = JSON.parse(line) as { notice?: Notice; closedInMs?: number };
    if (said.notice) notices.push(said.notice);
    closedInMs ??= said.closedInMs;
  });
  const timer = setTimeout(() => child.kill('SIGKILL'), 20_000);
  return new Promise((resolve) => {
    child.on('close', (code, signal) => {
      clearTimeout(timer);
      const seconds = (performance.now() - begin) / 1_000;
      resolve({ code, signal, notices, closedInMs, seconds });
    });
  });
}

describe('the built-in engine without a sound card', () => {
  it('says so once, goes on silently, and closes at once', async () => {
    const played = await play();
    expect(played).toMatchObject({ code: 0, signal: null });
    expect(played.notices.map((notice) => notice.what)).toEqual([
      expect.stringMatching(/^No sound card was found: the built-in engine is silent/),
    ]);
    expect(played.closedInMs).toBeLessThan(1_000);
  });

  it('does not keep a program from ending that forgot to close it', async () => {
    const played = await play('--no-close');
    expect(played).toMatchObject({ code: 0, signal: null });
    expect(played.seconds).toBeLessThan(10);
  });

  it('says what is wrong with a SoundFont, and plays on', async () => {
    const played = await play('/no/such/file.sf2');
    expect(played.code).toBe(0);
    expect(played.notices[0]).toMatchObject({ level: 'warn', where: '/no/such/file.sf2' });
    expect(played.notices).toHaveLength(2);
  });
});
