import { rmSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { expect, it } from 'vitest';
import type { Order } from '../../../src/page/host/carry-out.js';
import type { PageGuide } from '../../../src/page/link/state.js';
import type { GuidedSeat, Guides, GuidesOut } from '../../../src/page/server/guides/guides.js';
import type { RoomTakeEvent } from '../../../src/takes/room-line.js';
import { makeGuides } from '../../../src/page/server/guides/make-guides.js';
import { eventually, FakePage, startHost, type HostOptions } from './fake-host.js';

/** Guides that only write down what they are told, and say what a test has them say. */
async function guided(options: HostOptions = {}) {
  const calls: unknown[][] = [];
  const times: number[] = [];
  const plans: (GuidedSeat | null)[] = [];
  let out!: GuidesOut;
  let refused: string | null = null;
  let needs: readonly number[] = [];
  const note =
    (name: string) =>
    (...args: unknown[]): string | null => {
      calls.push([name, ...args]);
      return refused;
    };
  const host = await startHost({
    ...options,
    makeGuides: (given): Guides => {
      out = given;
      return {
        begin: (seat, guide, plan, t) => {
          times.push(t);
          plans.push(plan);
          return note('begin')(seat, guide);
        },
        do: (seat, step, t) => {
          times.push(t);
          return note('do')(seat, step);
        },
        built: note('built'),
        scan: (seat, event) => {
          times.push(event.t);
          note('scan')(seat, event.type);
        },
        gap: note('gap'),
        left: note('left'),
        watch: (seat, plan) => {
          plans.push(plan);
          note('watch')(seat, plan !== null);
        },
        looked: (on) => void note('looked')(on),
        wake: (t) => void times.push(t),
        get needs() {
          return needs;
        },
      };
    },
  });
  return {
    host,
    calls,
    times,
    plans,
    out,
    refuse: (words: string | null) => (refused = words),
    need: (seats: readonly number[]) => (needs = seats),
  };
}

const GUIDE: PageGuide = {
  guide: 'wire',
  seat: 1,
  phase: 'touching',
  words: 'Touch A1 pluck.',
  asked: 18,
  done: [],
  order: [18],
  unfit: [],
  file: null,
};
const begin = { ask: 'guide', seat: 1, guide: 'wire', do: 'begin' };
const step = (what: string) => ({ ...begin, do: what });

it('a guide is led by the page that began it, and by another once that is gone', async () => {
  const { host, calls, out } = await guided();
  const [page, other] = [new FakePage(host.port), new FakePage(host.port)];
  expect(await page.ask(begin)).toBeNull();
  out.guide(GUIDE);
  expect((await other.until(() => other.last('guide')?.now))?.words).toBe('Touch A1 pluck.');
  expect(await page.ask(step('skip'))).toBeNull();
  expect(await other.ask(step('skip'))).toMatch(/begun on another page/);
  expect(await other.ask(begin)).toMatch(/begun on another page/);
  page.socket.terminate();
  await eventually(() => calls.filter(([name]) => name === 'looked').length >= 3);
  expect(await other.ask(step('undo'))).toBeNull();
  expect(calls.filter(([name]) => name === 'begin' || name === 'do')).toEqual([
    ['begin', 1, 'wire'],
    ['do', 1, 'skip'],
    ['do', 1, 'undo'],
  ]);
  // Anybody may end it.
  const third = new FakePage(host.port);
  expect(await third.ask(step('skip'))).toMatch(/another page/);
  expect(await third.ask(step('end'))).toBeNull();
});

it('why a guide does not begin is told, and it then belongs to nobody', async () => {
  const { host, out, refuse } = await guided();
  const [page, other] = [new FakePage(host.port), new FakePage(host.port)];
  refuse('The board decides itself. Nothing is to be wired.');
  expect(await page.ask(begin)).toMatch(/decides itself/);
  refuse(null);
  // While steps are on, only whom they belong to may go on with them.
  out.guide(GUIDE);
  expect(await other.ask(begin)).toBeNull();
});

it('the seat is silent while it is guided, and its readings come', async () => {
  const { host, calls, out, need, times } = await guided();
  const page = new FakePage(host.port);
  await page.greeted();
  need([1]);
  expect(await page.ask(begin)).toBeNull();
  out.guide(GUIDE);
  out.guide({ ...GUIDE, done: [18] });
  const orders = (): Order[] => host.orders.filter(({ ask }) => ask !== 'look');
  expect(orders()).toEqual([
    { ask: 'readings', seats: [1] },
    { ask: 'hold', seat: 1, on: true },
  ]);
  const scan = (seat: number, t: number): RoomTakeEvent => ({
    type: 'seated',
    t,
    seat,
    event: { type: 'scan', t, inputs: [0], raws: [1] },
  });
  host.hear({ type: 'readings', events: [scan(1, 1), scan(0, 2), scan(1, 3)], lost: [1, 0] });
  expect(
    calls.filter(([name]) => name === 'scan' || name === 'gap').map(([n, s]) => [n, s]),
  ).toEqual([
    ...[
      ['gap', 1],
      ['scan', 1],
      ['scan', 1],
    ],
  ]);
  expect([...times]).toEqual([...times].sort((a, b) => a - b));
  need([]);
  out.guide({ ...GUIDE, phase: 'done', file: 'builds/south.json' });
  await eventually(() => orders().length === 4);
  expect(orders().slice(2)).toEqual([
    { ask: 'hold', seat: 1, on: false },
    { ask: 'readings', seats: [] },
  ]);
});

it('a build that comes out is written under the seat’s name, and what became of it is told', async () => {
  let answer: string | null = null;
  const { host, calls, out } = await guided({
    answer: ({ ask }) => (ask === 'build' ? answer : null),
  });
  const build = { wiring: [0], pads: [null] };
  out.build(1, build);
  expect(host.orders).toEqual([{ ask: 'build', seat: 1, build, name: 'south' }]);
  const built = (): unknown[][] => calls.filter(([name]) => name === 'built');
  await eventually(() => built().length === 1);
  const [, seat, written] = built()[0]!;
  expect(seat).toBe(1);
  expect((written as { file: string }).file).toMatch(/builds.south\.json$/);
  answer = 'The disk is full. Make room.';
  out.build(1, build);
  await eventually(() => built().length === 2);
  expect(built()[1]).toEqual(['built', 1, { fault: answer }]);
});

it('verdicts go to the pages that watch the seat, which is watched while any does', async () => {
  const { host, calls, out, plans } = await guided();
  const [page, other] = [new FakePage(host.port), new FakePage(host.port)];
  const watches = (): unknown[][] => calls.filter(([name]) => name === 'watch');
  await page.ask({ ask: 'watch', seat: 1 });
  await other.ask({ ask: 'watch', seat: 1 });
  expect(watches()).toEqual([['watch', 1, true]]);
  await other.ask({ ask: 'watch', seat: 0 });
  out.verdicts(1, []);
  await page.until(() => page.last('verdicts'));
  expect(page.last('verdicts')).toEqual({ told: 'verdicts', slice: 101, pads: [] });
  await other.ask({ ask: 'watch', seat: null });
  expect(other.last('verdicts')).toBeUndefined();
  const seat = host.data.seats[1]!;
  const plan = { ...seat.plan, made: true };
  host.hear({ type: 'seat', seat: { ...seat, plan } });
  expect(plans.at(-1)).toBe(plan);
  page.socket.terminate();
  await eventually(() => watches().length === 5);
  expect(watches().slice(1)).toEqual([
    ['watch', 0, true],
    ['watch', 0, false],
    ['watch', 1, true],
    ['watch', 1, false],
  ]);
});

it('time goes on for guides, never back, whatever comes late', async () => {
  const { host, times, need, calls } = await guided();
  need([0]);
  await eventually(() => times.length > 1);
  const scan: RoomTakeEvent = {
    type: 'seated',
    t: 1,
    seat: 0,
    event: { type: 'scan', t: 1, inputs: [0], raws: [1] },
  };
  host.hear({ type: 'readings', events: [scan], lost: [] });
  const far = { ...scan, t: 1e12, event: { ...scan.event, t: 1e12 } } as RoomTakeEvent;
  host.hear({ type: 'readings', events: [far, scan], lost: [] });
  expect(calls.filter(([name]) => name === 'scan')).toHaveLength(3);
  const before = times.length;
  await eventually(() => times.length > before);
  expect([...times]).toEqual([...times].sort((a, b) => a - b));
});

it('with the guides themselves: begins, says what to do, and ends with the seat let go of', async () => {
  const host = await startHost({ makeGuides });
  const page = new FakePage(host.port);
  expect(await page.ask(begin)).toBeNull();
  const guide = await page.until(() => page.last('guide')?.now);
  expect(guide).toMatchObject({ guide: 'wire', seat: 1, phase: 'letting-go', done: [] });
  expect(guide.words).not.toBe('');
  expect(await page.ask({ ...begin, seat: 0 })).toMatch(/another seat/);
  expect(await page.ask(step('end'))).toBeNull();
  await page.until(() => page.last('guide')?.now === null);
  const orders = host.orders.filter(({ ask }) => ask === 'hold' || ask === 'readings');
  expect(orders).toEqual([
    { ask: 'hold', seat: 1, on: true },
    { ask: 'readings', seats: [1] },
    { ask: 'hold', seat: 1, on: false },
    { ask: 'readings', seats: [] },
  ]);
});

it('no guide begins where its build could not be written', async () => {
  const { host, calls } = await guided();
  writeFileSync(join(host.folder, 'builds'), 'a file');
  const page = new FakePage(host.port);
  expect(await page.ask(begin)).toMatch(
    /south\.json: found that it cannot be written \(a file is where a folder must be\)/,
  );
  expect(calls.filter(([name]) => name === 'begin')).toEqual([]);
  rmSync(join(host.folder, 'builds'));
  expect(await page.ask(begin)).toBeNull();
});
