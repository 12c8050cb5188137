import { afterEach, beforeEach, expect, it, vi } from 'vitest';
import { Pace, type Paced } from '../../../src/page/server/pace.js';

interface Named {
  readonly name: number;
  readonly sounding: boolean;
}

/** A room that notes what is sent when: pages by name, the frame, and ms. */
function room(count: number) {
  const pages = new Set<Named>();
  for (let name = 0; name < count; name++) pages.add({ name, sounding: false });
  const sent: { name: number; frame: number; at: number }[] = [];
  const reads: number[] = [];
  const paced: Paced<Named> = {
    pages,
    looks: {
      read: () => void reads.push(performance.now()),
      sendTo: ({ name }) => void sent.push({ name, frame: reads.length, at: performance.now() }),
      sendVoices: () => undefined,
    },
    state: { flush: () => undefined },
  };
  return { pages, sent, reads, pace: new Pace(paced, () => 0) };
}

/** How long the thread has been held up so far, in ms: time in which no timer ran. */
let held = 0;

beforeEach(() => {
  held = 0;
  vi.useFakeTimers({ toFake: ['setTimeout', 'clearTimeout', 'setInterval', 'Date'], now: 0 });
  vi.spyOn(performance, 'now').mockImplementation(() => Date.now() + held);
});
afterEach(() => {
  vi.restoreAllMocks();
  vi.useRealTimers();
});

it.each([
  { count: 1, perSecond: 60, atOnce: 1 },
  { count: 4, perSecond: 60, atOnce: 1 },
  { count: 16, perSecond: 30, atOnce: 1 },
  { count: 30, perSecond: 15, atOnce: 1 },
  { count: 64, perSecond: 15, atOnce: 2 },
])('$count pages are sent $perSecond frames a second, $atOnce at a time', (each) => {
  const { pace, sent, reads } = room(each.count);
  pace.update();
  vi.advanceTimersByTime(2_000);
  pace.stop();
  expect(Math.abs(reads.length - 2 * each.perSecond)).toBeLessThanOrEqual(1);
  // The last frame may have been on its way.
  for (const frame of reads.keys()) {
    if (frame + 1 === reads.length) continue;
    const names = sent.filter((one) => one.frame === frame + 1).map(({ name }) => name);
    expect(names).toEqual(Array.from({ length: each.count }, (_, name) => name));
  }
  for (const { at } of sent) {
    expect(sent.filter((other) => other.at === at).length).toBeLessThanOrEqual(each.atOnce);
  }
  const half = 500 / each.perSecond;
  for (const { frame, at } of sent) expect(at - reads[frame - 1]!).toBeLessThanOrEqual(half + 1);
});

it('a page that has gone gets no turn, and the others keep theirs', () => {
  const { pace, pages, sent, reads } = room(30);
  pace.update();
  while (sent.length < 10) vi.advanceTimersByTime(1);
  const [gone] = [...pages].slice(20);
  pages.delete(gone!);
  vi.advanceTimersByTime(50);
  pace.stop();
  expect(reads).toHaveLength(1);
  expect(sent.map(({ name }) => name)).toEqual(
    Array.from({ length: 30 }, (_, name) => name).filter((name) => name !== 20),
  );
});

it('a thread that was held up sends each page the frame that it still owes before the next one', () => {
  const { pace, sent, reads } = room(30);
  pace.update();
  while (sent.length < 10) vi.advanceTimersByTime(1);
  held += 150;
  // The turn that is due, then at once the frame that is.
  while (reads.length < 2) vi.advanceTimersByTime(1);
  expect(sent.length).toBeLessThan(45);
  vi.advanceTimersByTime(300);
  pace.stop();
  expect(reads.length).toBeGreaterThan(4);
  // Frames 2 and 3 make up for what was missed and come soon after each other; from then on all have turns again.
  const fourth = sent.filter(({ frame }) => frame === 4).map(({ at }) => at);
  expect(new Set(fourth).size).toBe(30);
  for (let frame = 1; frame < reads.length; frame++) {
    const names = sent.filter((one) => one.frame === frame).map(({ name }) => name);
    expect(names).toEqual(Array.from({ length: 30 }, (_, name) => name));
  }
});

it('nothing is sent once it has stopped', () => {
  const { pace, sent } = room(30);
  pace.update();
  while (sent.length < 10) vi.advanceTimersByTime(1);
  pace.stop();
  vi.advanceTimersByTime(500);
  expect(sent).toHaveLength(10);
});
