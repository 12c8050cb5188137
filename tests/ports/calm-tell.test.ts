import { expect, it } from 'vitest';
import { calmTell } from '../../src/ports/calm-tell.js';
import type { Notice } from '../../src/ports/contracts.js';

function calm() {
  const clock = { ms: 0 };
  const told: Notice[] = [];
  const tell = calmTell((notice) => told.push(notice), { now: () => clock.ms });
  return { clock, told, tell };
}

it('the same warning is said once, and again with its count after a while', () => {
  const { clock, told, tell } = calm();
  const warning: Notice = { level: 'warn', what: 'A packet is odd', where: 'UDP port 9000' };
  for (let n = 0; n < 42; n++) tell(warning);
  tell({ ...warning, where: 'UDP port 9001' });
  expect(told.map(({ where }) => where)).toEqual(['UDP port 9000', 'UDP port 9001']);
  clock.ms = 10_000;
  tell(warning);
  expect(told[2]!.what).toBe('A packet is odd (came 41 times more meanwhile)');
});

it('many different messages are cut short, and it is said how many are missing', () => {
  const { clock, told, tell } = calm();
  for (let n = 0; n < 2_000; n++) tell({ level: 'info', what: `Plays by ${String(n)} now` });
  expect(told).toHaveLength(40);
  clock.ms = 5_000;
  tell({ level: 'warn', what: 'Something else' });
  expect(told.slice(40).map(({ what }) => what)).toEqual([
    '1960 messages were left out, since so many came at once',
    'Something else',
  ]);
});

it('what comes now and then is passed on as it is', () => {
  const { clock, told, tell } = calm();
  const said: Notice[] = Array.from({ length: 60 }, (_, n) => ({
    level: 'info',
    what: n % 2 === 0 ? 'Plays by legato now' : 'Plays by plain now',
  }));
  for (const notice of said) {
    clock.ms += 2_000;
    tell(notice);
  }
  expect(told).toEqual(said);
});
