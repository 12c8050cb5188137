import { describe, expect, it } from 'vitest';
import type { PageSeat } from '../../../../src/page/link/state.js';
import { byOf, likelyB } from '../../../../src/page/browser/take/choosing.js';
import { openDesk, type DeskThread } from '../../../../src/page/browser/take/desk-line.js';
import type { Opened, ToWorker } from '../../../../src/page/browser/take/desk/messages.js';
import { keyDone, type Acts } from '../../../../src/page/browser/take/time/keys.js';

const seat = (name: string, rules: string, tried: string[] = []): PageSeat =>
  ({ name, rules: { name: rules, values: { 'touch.lift': '24ms' }, tried, fault: null } }) as never;
const opened = (name: string | null, rules: string): Opened =>
  ({ seats: [{ name, rules }] }) as never;

describe('what B is at first', () => {
  const names = ['arpeggio', 'legato', 'plain'];
  it('is what plays at the take’s own seat, where that is something else', () => {
    expect(likelyB(opened('north', 'plain'), 0, [seat('north', 'legato')], names)[0]).toBe(
      'tried:north',
    );
    const tried = [seat('south', 'x'), seat('north', 'plain', ['touch.on'])];
    expect(likelyB(opened('north', 'plain'), 0, tried, names)[0]).toBe('tried:north');
  });

  it('is else another rules file, plain before all, and what was played where there is none', () => {
    const same = [seat('north', 'plain')];
    expect(likelyB(opened('north', 'plain'), 0, same, names)).toEqual([
      ...['file:arpeggio', 'file:legato', 'played'],
    ]);
    expect(likelyB(opened(null, 'legato'), 0, same, names)[0]).toBe('file:plain');
    expect(likelyB(opened(null, 'plain'), 0, [], [])[0]).toBe('played');
  });

  it('stands for what is so now, and for nothing once its seat is gone', () => {
    expect(byOf('file:a:b', [])).toEqual({ by: 'file', name: 'a:b' });
    expect(byOf('played', [])).toEqual({ by: 'played' });
    expect(byOf('tried:north', [seat('north', 'legato')])).toEqual({
      by: 'tried',
      name: 'legato',
      values: { 'touch.lift': '24ms' },
    });
    expect(byOf('tried:north', [seat('south', 'legato')])).toBeNull();
  });
});

describe('the line to the thread', () => {
  function made(): { thread: DeskThread; sent: ToWorker[] } {
    const sent: ToWorker[] = [];
    const thread: DeskThread = {
      onmessage: null,
      onerror: null,
      terminate: () => undefined,
      postMessage: (message) => void sent.push(message),
    };
    return { thread, sent };
  }

  it('gives each question its own answer, progress and fault', async () => {
    const { thread, sent } = made();
    const line = openDesk(thread, 'http://h/');
    const told: unknown[] = [];
    const one = line.ask('open', { source: { listed: 'x' } }, (progress) => told.push(progress));
    const two = line.ask('wanted', { file: null });
    expect(sent).toMatchObject([{ base: 'http://h/' }, { id: 0, name: 'open' }, { id: 1 }]);
    const say = (data: object): void => thread.onmessage?.({ data } as never);
    say({ id: 1, answer: { count: 0, notes: [] } });
    say({ id: 0, progress: { step: 'fetch', share: 0.5 } });
    say({ id: 0, fault: { kind: 'gzip' } });
    say({ id: 7, answer: {} });
    await expect(two).resolves.toEqual({ count: 0, notes: [] });
    await expect(one).rejects.toMatchObject({ fault: { kind: 'gzip' } });
    expect(told).toEqual([{ step: 'fetch', share: 0.5 }]);
  });

  it('fails all that waits where the thread fails', async () => {
    const { thread } = made();
    const line = openDesk(thread, 'http://h/');
    const one = line.ask('wanted', { file: null });
    thread.onerror?.({ message: 'out of memory', preventDefault: () => undefined } as never);
    await expect(one).rejects.toMatchObject({ fault: { kind: 'broken', what: 'out of memory' } });
  });
});

describe('keys', () => {
  const pressed = (key: string, inPicture: boolean, more: object = {}): string[] => {
    const did: string[] = [];
    const note =
      (name: string) =>
      (...values: number[]): void =>
        void did.push([name, ...values].join(' '));
    const acts = Object.fromEntries(
      ['zoom', 'move', 'next', 'line', 'ends', 'why'].map((name) => [name, note(name)]),
    ) as unknown as Acts;
    const event = { key, shiftKey: false, ctrlKey: false, altKey: false, metaKey: false, ...more };
    expect(keyDone(event, inPicture, acts)).toBe(did.length > 0);
    return did;
  };

  it('zoom and go to differences beside the picture too, and move the line in it only', () => {
    for (const inside of [true, false]) {
      expect(pressed('+', inside)).toEqual(['zoom 2']);
      expect(pressed('-', inside)).toEqual(['zoom 0.5']);
      expect(pressed('n', inside)).toEqual(['next 1']);
      expect(pressed('p', inside)).toEqual(['next -1']);
    }
    expect(pressed('ArrowLeft', true)).toEqual(['line -1 0']);
    expect(pressed('ArrowRight', true, { shiftKey: true })).toEqual(['move 0.25']);
    expect(pressed('ArrowDown', true)).toEqual(['line 0 1']);
    expect(pressed('Enter', true)).toEqual(['why']);
    expect(pressed('End', true)).toEqual(['ends 1']);
    expect(pressed('ArrowLeft', false)).toEqual([]);
    expect(pressed('Enter', false)).toEqual([]);
  });

  it('leave those of the browser alone', () => {
    expect(pressed('+', true, { ctrlKey: true })).toEqual([]);
    expect(pressed('ArrowLeft', true, { altKey: true })).toEqual([]);
    expect(pressed('x', true)).toEqual([]);
  });
});
