import { expect, it } from 'vitest';
import { SETTLE, Wishing } from '../../../src/page/browser/parts/wish.js';
import { madeUpTimers, settled } from './hands.js';

function slider() {
  const { later, pass } = madeUpTimers();
  const sent: number[] = [];
  const answers: (() => void)[] = [];
  let shown: number | null = null;
  const wishing = new Wishing<number>(
    (value) => {
      sent.push(value);
      return new Promise<void>((resolve) => answers.push(resolve));
    },
    (value) => {
      shown = value;
    },
    later,
  );
  const answer = async (): Promise<void> => {
    for (const one of answers.splice(0)) one();
    await settled();
  };
  return { wishing, sent, answer, pass, shown: () => shown };
}

it('asks at most 20 times a second, and always for the last', async () => {
  const { wishing, sent, pass, answer } = slider();
  for (let move = 0; move < 1_000; move++) {
    wishing.move(move);
    pass(1);
    await answer();
  }
  wishing.letGo();
  pass(1_000);
  expect(sent.length).toBeLessThanOrEqual(21);
  expect(sent.length).toBeGreaterThanOrEqual(19);
  expect(sent.at(-1)).toBe(999);
});

it('asks for the first at once', () => {
  const { wishing, sent } = slider();
  wishing.move(3);
  expect(sent).toEqual([3]);
});

it('shows what the person does for as long as they do it', async () => {
  const { wishing, answer, pass, shown } = slider();
  wishing.move(1);
  await answer();
  pass(10_000);
  expect(shown()).toBe(1);
});

it('shows what is in effect once it was answered and the state has followed', async () => {
  const { wishing, answer, pass, shown } = slider();
  wishing.move(1);
  wishing.letGo();
  pass(10_000);
  expect(shown(), 'before the answer').toBe(1);
  await answer();
  pass(SETTLE - 1);
  expect(shown(), 'before the state').toBe(1);
  pass(1);
  expect(shown()).toBeNull();
});

it('does not go back in between two moves', async () => {
  const { wishing, answer, pass, shown } = slider();
  wishing.move(1);
  wishing.letGo();
  await answer();
  pass(SETTLE / 2);
  wishing.move(2);
  await answer();
  pass(SETTLE);
  expect(shown()).toBe(2);
});
