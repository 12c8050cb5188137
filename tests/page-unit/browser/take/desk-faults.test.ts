import { readFileSync } from 'node:fs';
import { gzipSync } from 'node:zlib';
import { describe, expect, it } from 'vitest';
import { faultOf } from '../../../../src/page/browser/take/desk/faults.js';
import { serviceAt } from '../../../../src/page/browser/take/desk/fetching.js';
import type { Fault } from '../../../../src/page/browser/take/desk/messages.js';
import { unpack, wholeText } from '../../../../src/page/browser/take/desk/unpack.js';
import { compareTake } from '../../../commands/compare-hands.js';
import { bytesOf, caseNames, casePath, compareJsonOf, deskWith, file } from './desk-hands.js';
import { PLAYED, serviceOf, untold } from './desk-hands.js';

async function faultFrom(doing: Promise<unknown>): Promise<Fault> {
  const error: unknown = await doing.then(
    () => new Error('it did not fail'),
    (why: unknown) => why,
  );
  return faultOf(error);
}

const whole = { seat: 0, a: PLAYED, b: file('legato') };

describe('what cannot be run here', () => {
  it('is said of rules with a module of their own, as A and as B', async () => {
    const { desk } = await deskWith(bytesOf(compareTake()));
    const b = await faultFrom(desk.compare({ ...whole, b: file('strum') }, untold));
    expect(b).toMatchObject({ kind: 'own-logic', rules: 'strum' });
    const a = await faultFrom(desk.compare({ ...whole, a: file('arpeggio') }, untold));
    expect(a).toMatchObject({ kind: 'own-logic', rules: 'arpeggio' });
    const asked = { seat: 0, by: file('strum'), at: 1_000_000, pad: null };
    expect(await faultFrom(desk.explain(asked, untold))).toMatchObject({ kind: 'own-logic' });
  });

  it('is said of rules that the take carries with a module, which nothing here loads', async () => {
    const rules = { name: 'mine', logic: { file: './mine.ts', code: 'nothing' } };
    const { desk } = await deskWith(bytesOf(compareTake({ rules })));
    const fault = await faultFrom(desk.compare(whole, untold));
    expect(fault).toEqual({ kind: 'own-logic', rules: 'mine', file: './mine.ts' });
  });

  it('is said of notes that another computer made, and of takes that miss their instrument', async () => {
    const made = await deskWith(bytesOf(compareTake({ made: true })));
    expect(await faultFrom(made.desk.compare(whole, untold))).toEqual({ kind: 'made' });
    const bare = await deskWith(bytesOf(compareTake({ instrument: undefined })));
    expect(await faultFrom(bare.desk.compare(whole, untold))).toMatchObject({
      kind: 'plan',
      instead: 'instrument',
    });
  });
});

describe('files', () => {
  const text = compareTake();

  it('are read gzipped or not, told by their content', async () => {
    for (const bytes of [bytesOf(text), new Uint8Array(gzipSync(text))]) {
      const unpacked = unpack(new Uint8Array(bytes));
      expect(await wholeText(unpacked)).toBe(text);
      expect(unpacked.cut()).toBe(false);
    }
  });

  it('are read as far as they go where a gzip breaks off, which is said', async () => {
    const packed = gzipSync(text);
    const { opened } = await deskWith(packed.subarray(0, packed.length / 2));
    expect(opened.notes[0]).toEqual({ kind: 'cut-gzip' });
    expect(opened.length).toBeGreaterThan(1_000_000);
    expect(opened.length).toBeLessThan(12_000_000);
    expect(await faultFrom(deskWith(packed.subarray(0, 5)))).toEqual({ kind: 'gzip' });
    const broken = Buffer.from(packed);
    broken.fill(0xff, 10, 60);
    expect(await faultFrom(deskWith(broken))).toEqual({ kind: 'gzip' });
  });

  it('with a last line that is cut off, and a wrong one, are opened without them', async () => {
    const lines = text.trimEnd().split('\n');
    lines[5] = '[12,99]';
    const { opened } = await deskWith(bytesOf(`${lines.join('\n')}\n[12000000,3`));
    expect(opened.notes).toMatchObject([{ kind: 'lines', of: 'take', count: 2, line: 6 }]);
    expect(opened.scans).toBe(lines.length - 2);
  });

  it('that are no takes are refused in words', async () => {
    for (const wrong of ['hello', '{"a":1}\n', '']) {
      expect(await faultFrom(deskWith(bytesOf(wrong)))).toMatchObject({ kind: 'not-a-take' });
    }
  });
});

describe('wanted notes', () => {
  const [name] = caseNames as [string];
  const path = casePath(name);
  const wanted = path.replace('.take.', '.notes.');
  const notes = (content: string | Uint8Array) => ({
    file: { name: 'n.jsonl', bytes: new Uint8Array(bytesOf(String(content))).buffer },
  });

  it('judge as `compare --wanted` does', async () => {
    const { desk } = await deskWith(readFileSync(path));
    const text = readFileSync(wanted, 'utf8');
    expect(await desk.setWanted(notes(text))).toMatchObject({ notes: [] });
    const { judged, notes: compared, wanted: placed } = await desk.compare(whole, untold);
    const report = (await compareJsonOf(path, { rules: ['legato'], wanted })) as {
      readonly a: { readonly score: { readonly f: number; readonly right: number } };
      readonly b: typeof report.a;
      readonly differences: readonly { readonly verdict: unknown }[];
    };
    // The notes of a case are what plain plays, so that A has all of them right.
    expect(judged!.a.f).toBe(1);
    expect(judged!.a.f).toBe(report.a.score.f);
    expect(judged!.b.f).toBe(report.b.score.f);
    expect(judged!.b.matched).toHaveLength(report.b.score.right);
    expect(report.differences.length).toBeGreaterThan(0);
    expect(judged!.verdicts.filter((_, i) => compared[i]!.changes.length > 0)).toEqual(
      report.differences.map(({ verdict }) => verdict),
    );
    expect(placed).toHaveLength(text.trim().split('\n').length / 2);
  });

  it('that are none are refused, and tell which lines were left out', async () => {
    const { desk } = await deskWith(readFileSync(path));
    const take = await faultFrom(desk.setWanted(notes(readFileSync(path, 'utf8'))));
    expect(take).toEqual({ kind: 'not-notes', take: true });
    expect(await faultFrom(desk.setWanted(notes('what')))).toEqual({
      kind: 'not-notes',
      take: false,
    });
    const two = '{"t":1,"type":"on","note":40}\n{"t":2,"type":"on","note":400}\n';
    expect(await desk.setWanted(notes(two))).toMatchObject({
      count: 1,
      notes: [{ kind: 'lines', of: 'wanted', count: 1, line: 2 }],
    });
    expect(await desk.setWanted(notes(''))).toEqual({ count: 0, notes: [{ kind: 'none-wanted' }] });
    await desk.setWanted({ file: null });
    expect((await desk.compare(whole, untold)).judged).toBeNull();
  });
});

describe('the service', () => {
  const answering = (body: unknown, status = 200): typeof fetch =>
    (() => Promise.resolve(new Response(JSON.stringify(body), { status }))) as typeof fetch;

  it('is asked by paths from where the page is, with names as one part of a path', async () => {
    const asked: string[] = [];
    const get = ((url: URL) => {
      asked.push(url.href);
      return Promise.resolve(new Response('{}'));
    }) as typeof fetch;
    const service = serviceAt('http://127.0.0.1:8000/#/take/x', get);
    await service.rules('a/b');
    await service.instrument('bass-4x4');
    await service.build('north');
    await service.take('x y.jsonl', untold);
    expect(asked).toEqual(
      [
        ...['rules/a%2Fb.json', 'instruments/bass-4x4.json', 'builds/north.json'],
        'takes/x%20y.jsonl',
      ].map((path) => `http://127.0.0.1:8000/${path}`),
    );
  });

  it('says itself what is wrong, and where it does not answer, the page does', async () => {
    const fault = { what: 'There are no such rules.', next: 'Did you mean "plain"?' };
    const refused = await faultFrom(serviceAt('http://h/', answering(fault, 404)).rules('plian'));
    expect(refused).toEqual({ kind: 'words', ...fault });
    const silent = (() => Promise.reject(new TypeError('Failed to fetch'))) as typeof fetch;
    const none = await faultFrom(serviceAt('http://h/', silent).rules('plain'));
    expect(none).toEqual({ kind: 'unreachable' });
    const odd = await faultFrom(
      serviceAt('http://h/', (() =>
        Promise.resolve(new Response('<p>', { status: 502 }))) as typeof fetch).build('x'),
    );
    expect(odd).toMatchObject({ kind: 'words', what: expect.stringContaining('502') as string });
  });

  it('sends a take whole, telling how much has come', async () => {
    const text = compareTake();
    const shares: (number | null)[] = [];
    const get = (() =>
      Promise.resolve(
        new Response(text, { headers: { 'content-length': String(text.length) } }),
      )) as typeof fetch;
    const bytes = await serviceAt('http://h/', get).take('x', (share) => void shares.push(share));
    expect(new TextDecoder().decode(bytes)).toBe(text);
    expect(shares.at(-1)).toBe(1);
  });
});

describe('a take of a whole room', () => {
  it('is run seat by seat', async () => {
    const seats = ['north', 'south'].map((name, i) => ({
      name,
      first: 20 * i,
      inputs: 20,
      full: 16_383,
      instrument: 'bass-4x4',
    }));
    const [, ...lines] = compareTake().trimEnd().split('\n');
    const moved = lines.map((line) => {
      const [t, ...pairs] = JSON.parse(line) as number[];
      return JSON.stringify([t, ...pairs.map((one, i) => (i % 2 === 0 ? one + 20 : one))]);
    });
    const header = JSON.stringify({ take: 1, inputs: 40, full: 16_383, room: { seats } });
    const { desk, opened } = await deskWith(bytesOf(`${[header, ...moved].join('\n')}\n`));
    expect(opened).toMatchObject({
      room: true,
      seats: [
        { name: 'north', rules: 'plain' },
        { name: 'south', rules: 'plain' },
      ],
    });
    const alone = await (await deskWith(bytesOf(compareTake()))).desk.compare(whole, untold);
    const south = await desk.compare({ ...whole, seat: 1 }, untold);
    expect(south.notes).toEqual(alone.notes);
    expect(south.a.notes).toBeGreaterThan(0);
    const north = await desk.compare(whole, untold);
    expect(north.notes).toEqual([]);
  });
});

it('runs A once for one B after another, and again for another A', async () => {
  const { desk } = await deskWith(bytesOf(compareTake()), serviceOf());
  const steps = async (asked: typeof whole): Promise<string[]> => {
    const told: string[] = [];
    await desk.compare(asked, ({ step }) => void told.push(step));
    return [...new Set(told)];
  };
  expect(await steps(whole)).toEqual(['a', 'levels', 'b']);
  expect(await steps({ ...whole, b: file('instant') })).toEqual(['b']);
  expect(await steps({ ...whole, a: file('instant') })).toEqual(['a', 'levels', 'b']);
});
