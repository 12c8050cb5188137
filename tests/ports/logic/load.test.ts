import { afterAll, describe, expect, it } from 'vitest';
import { LogicFault } from '../../../src/playing/own-logic-run.js';
import { setupOf } from '../../../src/playing/own-logic-setup.js';
import { shown } from '../../../src/ports/files/find.js';
import { loadLogic } from '../../../src/ports/logic/load.js';
import { keptCount, logicsWith } from '../../../src/ports/logic/pool.js';
import { livingCount, TAKE_PATIENCE, type Patience } from '../../../src/ports/logic/thread.js';
import { BASS, PLAIN } from '../../support/bass.js';
import { newKit, sounding, stepping } from './modules.js';

const kit = newKit();
afterAll(() => {
  kit.remove();
});

const setup = setupOf(BASS, PLAIN);
const ONSET = { type: 'onset', t: 5, pad: 3 } as const;

/** Loads a module and has it play. */
async function running(text: string, patience: Patience = TAKE_PATIENCE, said: string[] = []) {
  const { own } = await loadLogic(kit.put('own.ts', text));
  const logic = logicsWith(patience, (_, line) => said.push(line))(own);
  return { own, logic, run: logic.begin(setup) };
}

/** What a module's first step makes the person read. */
async function faultOf(text: string, patience?: Patience): Promise<LogicFault> {
  const { run } = await running(text, patience);
  try {
    run.step(ONSET, setup);
  } catch (error) {
    expect(error).toBeInstanceOf(LogicFault);
    return error as LogicFault;
  } finally {
    run.end();
  }
  throw new Error('it went well');
}

/** What is wrong with a module that does not load. */
async function refusal(text: string, name = 'own.ts'): Promise<string> {
  const path = kit.put(name, text);
  const error = await loadLogic(path).catch((one: unknown) => one as Error);
  if (!(error instanceof Error)) throw new Error('it loaded');
  expect(error.name).toBe('FileFault');
  return error.message.replaceAll(shown(kit.folder), 'KIT');
}

describe('a module that plays', () => {
  it('keeps its state between two calls, which nobody else has', async () => {
    const { run, logic } = await running(
      stepping(
        '  state.calls += 1;\n  return { state, out: [{ n: state.calls }], wake: event.t + 9 };',
      ),
    );
    const other = logic.begin(setup);
    expect(run.step(ONSET, setup)).toEqual({ out: [{ n: 1 }], wake: 14 });
    expect(run.step(ONSET, setup)).toEqual({ out: [{ n: 2 }], wake: 14 });
    expect(other.step(ONSET, setup)).toEqual({ out: [{ n: 1 }], wake: 14 });
    run.again(setup);
    expect(run.step(ONSET, setup)).toEqual({ out: [{ n: 1 }], wake: 14 });
    run.end();
    other.end();
  });

  it('begins with all it had, in a thread that somebody else has played by', async () => {
    const text = `let all = 0;
export const begin = () => ({ first: [all, Math.random()] });
export const step = (state: { first: number[] }) => {
  all += 1;
  return { state, out: [...state.first, Math.random()] };
};`;
    const { run, logic } = await running(text);
    const out = (one: typeof run) => (one.step(ONSET, setup) as { out: number[] }).out;
    const first = [out(run), out(run)];
    run.end();
    const again = logic.begin(setup);
    expect([out(again), out(again)]).toEqual(first);
    expect(first[0]![2]).not.toBe(first[1]![2]);
    again.end();
  });

  it('is told of other rules with the next event', async () => {
    const { run } = await running(`export const begin = () => 0;
export const step = (state: number, event: unknown, { rules }: { rules: { name: string } }) =>
  ({ state, out: [rules.name] });`);
    expect(run.step(ONSET, setup)).toMatchObject({ out: ['plain'] });
    const other = setupOf(BASS, { ...PLAIN, name: 'other' });
    expect(run.step(ONSET, other)).toMatchObject({ out: ['other'] });
    run.end();
  });

  it('may be several files and plain JavaScript, and says which they are', async () => {
    const chords = kit.put('chords.ts', 'export const THIRD: number = 4;\n');
    const table = kit.put('deep/table.json', '{ "fifth": 7 }');
    const main = kit.put(
      'main.js',
      `import { THIRD } from './chords.js';
import table from './deep/table.json';
export const begin = () => [THIRD, table.fifth];
export const step = (state) => ({ state, out: state });`,
    );
    const { own, files } = await loadLogic(main);
    expect([...files].sort()).toEqual([main, chords, table].sort());
    const run = logicsWith(TAKE_PATIENCE)(own).begin(setup);
    expect(run.step(ONSET, setup)).toMatchObject({ out: [4, 7] });
    run.end();
  });

  it('is heard when it says something', async () => {
    const said: string[] = [];
    const text = stepping("  console.log('pad', event.pad, { a: 1 });\n  return { state };");
    const { run } = await running(text, TAKE_PATIENCE, said);
    run.step(ONSET, setup);
    run.end();
    expect(said).toEqual(['pad 3 {"a":1}']);
  });

  it('has the language and nothing else', async () => {
    const { run } = await running(
      stepping(`  const all = ['process', 'require', 'fetch', 'Date', 'setTimeout', 'Atomics', 'Buffer'];
  return { state, out: all.filter((name) => name in globalThis) };`),
    );
    expect(run.step(ONSET, setup)).toMatchObject({ out: [] });
    run.end();
  });
});

describe('a module that fails as it plays', () => {
  it.each([
    ['  return (null as any).note;', /^TypeError: Cannot read .*'note'/, 3, 24],
    ["  throw new Error('no such chord');", /^no such chord$/, 3, 9],
    ["  throw 'a text';", /^threw a text$/, null, 0],
    ['  return { state, wake: Date.now() };', /^ReferenceError: Date is not defined/, 3, 25],
    ['  const again = (): number => again() + 1;\n  return again();', /call stack size/, 3, 0],
    ['  const a: any = {}; a.a = a;\n  return { state, out: a };', /circular/, null, 0],
    ["  return { state, out: 'x'.repeat(2_000_000) };", /answer is too long/, null, 0],
    ['  return {};', /without a state/, null, 0],
    ['  return Promise.resolve();', /Promise is not defined/, 3, 0],
  ])('%s: says what and where', async (body, what, line, column) => {
    const fault = await faultOf(stepping(body));
    expect(fault.what).toMatch(what);
    expect(fault.what).not.toContain('\n');
    const at = line === null ? '' : `:${String(line)}:${column === 0 ? '\\d+' : String(column)}`;
    expect(fault.where).toMatch(new RegExp(`own\\.ts${at}$`));
    expect(fault.next).toMatch(/\.$/);
  });

  it('in a file that it imports is told of that file', async () => {
    kit.put(
      'deep/chord.ts',
      'export const chord = (all: number[]): number =>\n  all.at(9)!.valueOf();\n',
    );
    const fault = await faultOf(
      `import { chord } from './deep/chord.js';\n${stepping('  return chord([]);')}`,
    );
    expect(fault.where).toMatch(/deep\/chord\.ts:2:\d+$/);
  });

  it('is told what to do instead of asking for the time', async () => {
    expect((await faultOf(stepping('  Date.now();'))).next).toContain('event.t');
    expect((await faultOf(stepping('  setTimeout(1);'))).next).toContain('wake');
    const later = 'export const begin = () => 0;\nexport async function step() {}\n';
    expect((await faultOf(later)).next).toContain('async');
  });
});

describe('a module that does not answer', () => {
  const loop = stepping('  for (;;) state.calls += 1;');
  const eats = stepping(
    '  const all: number[][] = [];\n  for (;;) all.push(new Array(999).fill(1));',
  );

  it.each([
    ['a loop without end', loop],
    ['a list without end', eats],
  ])('is stopped once it has worked for its time: %s', async (_, text) => {
    const { run, own } = await running(text, { work: 20, wait: 60_000 });
    const before = process.cpuUsage();
    expect(() => run.step(ONSET, setup)).toThrow(/did not answer within 20 ms/);
    const { user, system } = process.cpuUsage(before);
    // The time that it may work, what it is looked at later than that, and other threads of this program.
    expect((user + system) / 1_000).toBeLessThan(200);
    run.end();
    await expect.poll(() => livingCount(own.code!)).toBe(0);
    expect(() => run.step(ONSET, setup)).toThrow(LogicFault);
  });

  it('is stopped by the clock as well', async () => {
    const { run } = await running(loop, { work: 60_000, wait: 30 });
    expect(() => run.step(ONSET, setup)).toThrow(/did not answer within 30 ms/);
  });

  it('costs the others nothing', async () => {
    const { run, logic } = await running(
      stepping('  while (event.pad === 3) state.calls += 1;\n  return { state, out: [1] };'),
      { work: 20, wait: 60_000 },
    );
    const other = logic.begin(setup);
    expect(() => run.step(ONSET, setup)).toThrow(LogicFault);
    expect(other.step({ ...ONSET, pad: 4 }, setup)).toMatchObject({ out: [1] });
    other.end();
  });
});

describe('a module that does not load', () => {
  it.each([
    ['export const begin = (;\n', /^KIT\/own\.ts:1:23: found a mistake: Unexpected ";"/],
    [
      "import { a } from './nowhere.js';\nexport const begin = () => a;",
      /^KIT\/own\.ts:1:19: .*resolve/,
    ],
    [
      "import { readFileSync } from 'node:fs';\nreadFileSync('x');",
      /^KIT\/own\.ts:1:30: .*no file of your own/,
    ],
    ['export const begin = () => 0;\n', /exports no function step[^]*Write "export function"/],
    ['\nnull.x;\nexport const begin = 1;', /^KIT\/own\.ts:2:6: .*TypeError/],
  ])('%j: says what is wrong and where', async (text, words) => {
    expect(await refusal(text)).toMatch(words);
  });

  it('is looked for, with near names', async () => {
    kit.put('strum.ts', sounding(40));
    const missing = await loadLogic(`${kit.folder}/strom.ts`).catch((error: unknown) => error);
    expect(String(missing)).toMatch(/no such file[^]*Did you mean "strum\.ts"/);
  });

  it('leaves what was read before as it was', async () => {
    const { run } = await running(sounding(41));
    await refusal('export const begin = (;\n');
    expect(run.step(ONSET, setup)).toMatchObject({ out: [{ note: 41 }] });
    run.end();
  });
});

describe('a module that is saved again', () => {
  it('is another one, and threads of the old one are ended once nobody plays by it', async () => {
    const old = await running(sounding(42));
    const now = await running(sounding(43));
    expect(old.own.code).not.toBe(now.own.code);
    expect(old.run.step(ONSET, setup)).toMatchObject({ out: [{ note: 42 }] });
    expect(now.run.step(ONSET, setup)).toMatchObject({ out: [{ note: 43 }] });
    old.run.end();
    await running(sounding(44));
    expect(keptCount(now.own.code!)).toBe(0);
    now.run.end();
    await expect.poll(() => livingCount(old.own.code!)).toBeLessThanOrEqual(1);
  });

  it('as it was is the same one', async () => {
    const one = await running(sounding(45));
    const two = await running(sounding(45));
    expect(two.own).toEqual(one.own);
  });
});
