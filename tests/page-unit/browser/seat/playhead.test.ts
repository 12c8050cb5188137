import { expect, test } from 'vitest';
import { Playhead } from '../../../../src/page/browser/seat/levels/playhead.js';

/** How far behind the service's clock it is, once batches come with this delay (ms, by turns). */
function behind(delays: readonly number[], seconds: number): number[] {
  const playhead = new Playhead();
  const list: number[] = [];
  for (let k = 0; k < seconds * 30; k++) {
    const t = 5e9 + k * 33_333;
    const now = k * 33.333 + delays[k % delays.length]!;
    playhead.heard(t, now);
    list.push((5e9 + now * 1000 - playhead.at(now)!) / 1000);
  }
  return list;
}

test('nothing is drawn before anything was heard', () => {
  expect(new Playhead().at(5)).toBeNull();
});

test('goes on evenly though batches come unevenly', () => {
  const late = behind([4, 30, 12, 60], 20).slice(30);
  expect(Math.max(...late) - Math.min(...late)).toBeLessThan(1);
});

test('stays behind what has come, so that each moment is there when it is drawn', () => {
  const playhead = new Playhead();
  for (let k = 0; k < 900; k++) {
    const now = k * 33.333 + [4, 30, 12, 60][k % 4]!;
    // Drawn just before the batch comes, when the last one is the furthest away.
    const shown = playhead.at(now);
    if (shown !== null) expect(shown).toBeLessThanOrEqual((k - 1) * 33_333);
    playhead.heard(k * 33_333, now);
  }
});

test('follows a service that began again', () => {
  const playhead = new Playhead();
  playhead.heard(8e9, 1000);
  playhead.heard(1e6, 1033);
  expect(playhead.at(1033)).toBeLessThanOrEqual(1e6);
});
