import { describe, expect, it } from 'vitest';
import { Budget } from '../../../src/time/budget.js';
import { cookieOf, keyInCookie, makeKeys } from '../../../src/page/server/keys.js';
import { framesPerSecond } from '../../../src/page/server/looks.js';
import { isLoopback, isOwnOrigin } from '../../../src/page/server/origin.js';
import { Presses } from '../../../src/page/server/presses.js';

describe('a budget', () => {
  it('gives its burst at once, and then only so much a second', () => {
    const budget = new Budget({ perSecond: 10, burst: 3 }, 0);
    const take = (now: number): boolean => budget.take(now);
    expect([take(0), take(0), take(0), take(0)]).toEqual([true, true, true, false]);
    expect([take(99), take(100), take(101)]).toEqual([false, true, false]);
    // A long rest fills it up, and no further.
    expect([0, 0, 0, 0].map(() => take(60_000))).toEqual([true, true, true, false]);
  });

  it('gives nothing more where the clock is set back', () => {
    const budget = new Budget({ perSecond: 1_000, burst: 1 }, 5_000);
    expect([budget.take(5_000), budget.take(1_000)]).toEqual([true, false]);
  });
});

describe('keys', () => {
  it('have 256 bits, are never twice the same, and are known again', () => {
    const keys = makeKeys();
    const { all, guest } = keys.keys;
    // 32 bytes are 43 characters of base64url (RFC 4648, section 5).
    for (const key of [all, guest]) expect(key).toMatch(/^[\w-]{43}$/);
    expect(new Set([all, guest, ...Object.values(makeKeys().keys)]).size).toBe(4);
    expect(keys.roleOf(all)).toBe('all');
    expect(keys.roleOf(guest)).toBe('guest');
  });

  it('are nobody’s where they are shorter, longer, other or none', () => {
    const keys = makeKeys();
    const { all } = keys.keys;
    const other = (all.startsWith('A') ? 'B' : 'A') + all.slice(1);
    for (const key of ['', all.slice(1), `${all}A`, other, all.toLowerCase(), '\0']) {
      expect(keys.roleOf(key)).toBeNull();
    }
  });

  it('are kept in a cookie that no script and no other site has', () => {
    const cookie = cookieOf('K', 4_000);
    expect(cookie.split('; ').slice(1).sort()).toEqual(['HttpOnly', 'Path=/', 'SameSite=Strict']);
    expect(keyInCookie(`a=1; ${cookie.split(';')[0]!}; b=2`, 4_000)).toBe('K');
    expect(keyInCookie('pluckwork-4001=X', 4_000)).toBe('');
    expect(keyInCookie(undefined, 4_000)).toBe('');
  });
});

describe('names of this computer', () => {
  it.each(['localhost', 'LOCALHOST:81', '127.0.0.1:8080', '[::1]:9', '[::1]'])(
    '%s is one',
    (host) => {
      expect(isLoopback(host)).toBe(true);
    },
  );

  it.each([
    ...[undefined, '', 'rebound.example', 'rebound.example:8080', 'localhost.rebound.example'],
    ...['127.0.0.1.rebound.example', 'localhost:8080:9', '127.0.0.1@rebound.example', '0.0.0.0:80'],
    ...['192.0.2.7:8080', '[::1].rebound.example', 'localhost:', 'localhost:123456'],
  ])('%s is none', (host) => {
    expect(isLoopback(host)).toBe(false);
  });
});

describe('an origin', () => {
  it('is our own only where it is that of the host that was asked', () => {
    expect(isOwnOrigin('http://localhost:80', 'localhost:80')).toBe(false);
    expect(isOwnOrigin('http://localhost', 'localhost:80')).toBe(true);
    expect(isOwnOrigin('http://127.0.0.1:8080', '127.0.0.1:8080')).toBe(true);
    expect(isOwnOrigin('http://[::1]:8080', '[::1]:8080')).toBe(true);
    for (const origin of [
      ...[undefined, '', 'null', 'http://127.0.0.1', 'http://127.0.0.1:8081'],
      ...['http://localhost:8080', 'file://', 'http://127.0.0.1:8080.rebound.example'],
      ...['http://127.0.0.1:8080/', 'http://rebound.example', 'https://127.0.0.1:8080'],
    ]) {
      expect(isOwnOrigin(origin, '127.0.0.1:8080')).toBe(false);
    }
    expect(isOwnOrigin('http://undefined', undefined)).toBe(false);
  });
});

describe('presses', () => {
  it('end when the last page that holds a pad lets go of it', () => {
    const presses = new Presses<string>();
    presses.press('a', 0, 3);
    presses.press('a', 0, 3);
    presses.press('b', 0, 3);
    expect(presses.release('a', 0, 3)).toBe(false);
    expect(presses.release('a', 0, 3)).toBe(false);
    expect(presses.release('b', 0, 3)).toBe(true);
    expect(presses.release('b', 0, 3)).toBe(false);
  });

  it('of a page that goes away end, but for what another page holds too', () => {
    const presses = new Presses<string>();
    presses.press('a', 0, 1);
    presses.press('a', 1, 2);
    presses.press('a', 1, 3);
    presses.press('b', 1, 2);
    expect(presses.leave('a').map(({ seat, pad }) => [seat, pad])).toEqual([
      [0, 1],
      [1, 3],
    ]);
    expect(presses.leave('a')).toEqual([]);
    expect(presses.leave('b').map(({ seat, pad }) => [seat, pad])).toEqual([[1, 2]]);
  });
});

it('sends fewer frames to many pages', () => {
  expect([1, 4, 5, 16, 17, 64].map(framesPerSecond)).toEqual([60, 60, 30, 30, 15, 15]);
});
