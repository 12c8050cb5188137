import { expect, test } from 'vitest';
import { explainingOf } from '../../../../src/page/browser/take/explaining.js';
import type { DeskLine } from '../../../../src/page/browser/take/desk-line.js';
import { takeModel } from '../../../../src/page/browser/take/model.js';
import { settled } from '../hands.js';
import { fakeConnection, pageSeat } from '../sound/hands.js';

const OPENED = { name: 'own', seats: [{ name: 'north', rules: 'legato' }], notes: [] };

/** A model whose desk answers when the test says so. */
function bench() {
  const asked: { name: string; ask: unknown; answer: (with_: unknown) => void }[] = [];
  const desk: DeskLine = {
    ask: (name, ask) =>
      new Promise((resolve) =>
        asked.push({ name, ask, answer: resolve as (one: unknown) => void }),
      ),
    end: () => undefined,
  };
  const { connection, seats } = fakeConnection();
  const model = takeModel(connection, desk);
  return { model, asked, seats, explaining: explainingOf(connection, model, desk) };
}

const fileOf = (name: string, bytes: Promise<ArrayBuffer>): File =>
  ({ name, arrayBuffer: () => bytes }) as File;

test('nothing is said to be going on once the seat that was compared with is gone', async () => {
  const { model, asked, seats, explaining } = bench();
  void model.open('own');
  asked[0]!.answer(OPENED);
  await settled();
  expect(asked[1]).toMatchObject({ name: 'compare', ask: { b: { by: 'tried', name: 'plain' } } });
  expect(model.busy.value).not.toBeNull();
  seats.value = [pageSeat('south')];
  expect(model.busy.value).toBeNull();

  void explaining.ask({ at: 1, pad: null, side: 'a' });
  void explaining.ask({ at: 2, pad: null, side: 'b' });
  asked[2]!.answer({ answer: [] });
  await settled();
  expect(explaining.busy.value).toBe(false);
  expect(explaining.answer.value).toEqual({ answer: [] });
});

test('a file that cannot be read any more is told of', async () => {
  const { model, asked } = bench();
  await model.open(fileOf('gone.take.jsonl', Promise.reject(new Error('it was moved'))));
  expect(model.openFault.value).toEqual({ kind: 'broken', what: 'it was moved' });
  expect([model.busy.value, asked]).toEqual([null, []]);
});

test('of two files of wanted notes the last one chosen counts, though the first is read more slowly', async () => {
  const { model, asked } = bench();
  let slow: (bytes: ArrayBuffer) => void = () => undefined;
  void model.judgeBy(fileOf('first', new Promise((resolve) => (slow = resolve))));
  void model.judgeBy(fileOf('second', Promise.resolve(new ArrayBuffer(1))));
  await settled();
  slow(new ArrayBuffer(9));
  await settled();
  expect(asked.map(({ ask }) => ask)).toMatchObject([{ file: { name: 'second' } }]);
  asked[0]!.answer({ count: 3, notes: [] });
  await settled();
  expect(model.wanted.value).toEqual({ name: 'second', count: 3, notes: [] });
});
