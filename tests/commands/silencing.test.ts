import { EventEmitter } from 'node:events';
import { describe, expect, it } from 'vitest';
import { silencing, type SilencingParts } from '../../src/commands/silencing.js';

/** A terminal and a process that keep what is done to them. */
function parts(own: { isTTY?: boolean; foreground?: boolean; platform?: NodeJS.Platform } = {}) {
  const input = Object.assign(new EventEmitter(), {
    isTTY: own.isTTY ?? true,
    raw: false,
    setRawMode(raw: boolean) {
      input.raw = raw;
    },
    resume: () => undefined,
    pause: () => undefined,
  });
  const killed: unknown[] = [];
  const kill = (pid: number, signal?: string | number): true => {
    killed.push([pid, signal]);
    return true;
  };
  const process = Object.assign(new EventEmitter(), {
    pid: 77,
    platform: own.platform ?? 'linux',
    kill,
  });
  let silences = 0;
  const silent = silencing(() => void silences++, {
    input,
    foreground: () => own.foreground ?? true,
    process: process as unknown as SilencingParts['process'],
  });
  return { input, killed, process, silent, silences: () => silences };
}

describe('silencing from a terminal', () => {
  it('is the space bar and SIGUSR1, and says so', () => {
    const { input, process, silent, silences } = parts();
    expect(silent.words).toBe('the space bar or "kill -USR1 77"');
    expect(input.raw).toBe(true);
    input.emit('data', Buffer.from(' '));
    input.emit('data', 'x');
    process.emit('SIGUSR1');
    expect(silences()).toBe(2);
  });

  it('keeps Ctrl-C, which comes as a character in raw mode', () => {
    const { input, killed, silences } = parts();
    input.emit('data', Buffer.from('\x03'));
    expect(killed).toEqual([[77, 'SIGINT']]);
    expect(silences()).toBe(0);
  });

  it('passes Ctrl-Z on to all of the group, and takes the terminal again once the program is continued', () => {
    const { input, killed, silent, silences } = parts();
    input.emit('data', Buffer.from('\x1a'));
    expect(killed).toEqual([[0, 'SIGTSTP']]);
    silent.suspend();
    expect([input.raw, input.listenerCount('data')]).toEqual([false, 0]);
    silent.resume();
    silent.resume();
    expect([input.raw, input.listenerCount('data')]).toEqual([true, 1]);
    input.emit('data', ' ');
    expect(silences()).toBe(1);
  });

  it('gives the terminal back', () => {
    const { input, process, silent, silences } = parts();
    silent.close();
    expect(input.raw).toBe(false);
    input.emit('data', ' ');
    process.emit('SIGUSR1');
    expect(silences()).toBe(0);
  });

  it('leaves a terminal alone that is not ours: the system would stop the program', () => {
    for (const own of [{ foreground: false }, { isTTY: false }]) {
      const { input, silent } = parts(own);
      expect(input.raw).toBe(false);
      expect(input.listenerCount('data')).toBe(0);
      expect(silent.words).toBe('"kill -USR1 77"');
    }
  });

  it('has no signal on Windows, which knows none', () => {
    const { process, silent } = parts({ platform: 'win32' });
    expect(silent.words).toBe('the space bar');
    expect(process.listenerCount('SIGUSR1')).toBe(0);
  });
});
