import { expect, test } from 'vitest';
import { unsettled } from '../../../src/page/browser/frame/unsettled.js';
import type { PageNotice } from '../../../src/page/link/state.js';

let number = 0;
function notice(level: PageNotice['level'], what: string, where?: string): PageNotice {
  number += 1;
  return { level, what, number, at: 0, ...(where === undefined ? {} : { where }) };
}
const whats = (notices: readonly PageNotice[]): string[] =>
  unsettled(notices).map(({ what }) => what);

test('what went wrong stays until something newer comes from the same place', () => {
  const out = notice('warn', 'pulled out', 'seat north');
  const far = notice('error', 'too few readings', 'seat south');
  const info = notice('info', 'kept', 'seat west');
  expect(whats([out, far, info])).toEqual(['too few readings', 'pulled out']);
  const back = notice('info', 'plugged in again', 'seat north');
  expect(whats([out, far, info, back])).toEqual(['too few readings']);
});

test('a newer fault of a place takes the place of the older one, and what has no place is kept', () => {
  const none = notice('warn', 'no sound card');
  const first = notice('warn', 'first', 'seat north');
  const second = notice('error', 'second', 'seat north');
  const said = notice('info', 'said');
  expect(whats([none, first, second, said])).toEqual(['second', 'no sound card']);
  expect(unsettled([])).toEqual([]);
});
