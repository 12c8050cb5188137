import { readFileSync } from 'node:fs';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { STICK_FILE, stickTake, tagsOf, textOf } from './check-hands.js';
import { endPrograms, run, start, workFolder } from './program.js';

describe('pluckwork check', () => {
  const folder = workFolder();
  beforeAll(() => {
    folder.write('instruments/stick.yaml', STICK_FILE);
    folder.write('stick.take.jsonl', textOf(stickTake(), { instrument: 'stick' }));
  });
  afterAll(() => {
    endPrograms();
    folder.remove();
  });
  const check = (...args: string[]) => run(['check', ...args], folder.path);

  it('judges a take, and ends well although pads are unfit', async () => {
    const { code, out, err } = await check('--take', 'stick.take.jsonl');
    expect({ code, err }).toEqual({ code: 0, err: '' });
    expect(out).toContain('E1 fret 2     1    200      +9      3   3.0:1  weak\n');
    expect(out.trimEnd().split('\n').at(-1)).toBe(
      '1 of 3 pads are fit. Fix first: E1 pluck (dead).',
    );
  });

  it('writes one object, and a page beside it', async () => {
    const { code, out, err } = await check(
      ...['--take', 'stick.take.jsonl', '--json', '--html', 'page.html'],
    );
    expect(code).toBe(0);
    expect(err).toContain('page.html');
    const report = JSON.parse(out) as Record<string, unknown>;
    expect(report).toMatchObject({
      check: 1,
      unit: 'stick.take.jsonl',
      instrument: 'Stick',
      line: 5,
      fit: 1,
      of: 3,
      scans: {
        count: 963,
        rate: 250,
        interval: 4_000,
        jitter: 0,
        paused: 0,
        late: 0,
        lost: null,
        gaps: 0,
        longest: 0,
      },
      spareInputs: [],
      swapped: [],
      elsewhere: [],
      summary: '1 of 3 pads are fit. Fix first: E1 pluck (dead).',
    });
    expect(report.pads).toMatchObject([
      {
        pad: 0,
        name: 'E1 fret 1',
        inputs: [0],
        touches: 1,
        noise: 3,
        ratio: expect.closeTo(30, 1) as number,
        verdicts: [],
      },
      {
        pad: 1,
        ratio: expect.closeTo(3, 1) as number,
        verdicts: [{ kind: 'weak', why: null, grade: 'mend' }],
      },
      { pad: 2, touched: null, ratio: null, verdicts: [{ kind: 'dead', why: 'untouched' }] },
    ]);
    expect(report.findings).toMatchObject([
      { kind: 'dead', pads: [2], title: 'Dead' },
      { kind: 'weak', pads: [1], title: 'Weak' },
    ]);
    const html = readFileSync(`${folder.path}/page.html`, 'utf8');
    expect(tagsOf(html).filter(({ name }) => name === 'svg')).toHaveLength(4);
  });

  it('fails in words where there is nothing to judge', async () => {
    folder.write('empty.take.jsonl', textOf([], { instrument: 'stick' }));
    const empty = await check('--take', 'empty.take.jsonl');
    expect(empty).toMatchObject({ code: 1, out: '' });
    expect(empty.err).toContain('error: no readings came from empty.take.jsonl');
    expect(empty.err).toContain('there are none in the take, so record another one');
    const decided = { instrument: 'stick', decided: true };
    folder.write('decided.take.jsonl', textOf(stickTake(), decided));
    const own = await check('--take', 'decided.take.jsonl');
    expect(own.code).toBe(1);
    expect(own.err).toContain('its board decided itself what was a touch');
    folder.write('no', 'a file');
    const nowhere = await check('--take', 'stick.take.jsonl', '--html', 'no/such/page.html');
    expect(nowhere.code).toBe(1);
    expect(nowhere.err).toContain('no/such/page.html: a file is where a folder must be');
  });

  it('wants a room or a take, and each option where it belongs', async () => {
    expect(await check()).toMatchObject({ code: 2 });
    expect(await check('demo', '--take', 'stick.take.jsonl')).toMatchObject({ code: 2 });
    expect(await check('demo', '--build', 'north')).toMatchObject({ code: 2 });
    expect(await check('--take', 'stick.take.jsonl', '--seat', 'a')).toMatchObject({ code: 1 });
  });

  it('asks for the touches of a live unit, and judges when all were seen', async () => {
    folder.write(
      'live.take.jsonl',
      textOf(stickTake([0, 1, 2], 1_500_000), { instrument: 'stick' }),
    );
    folder.write(
      'rooms/class.yaml',
      `seats:
  - { name: north, instrument: stick, from: { take: live.take.jsonl } }
to:
  - midi: { virtual: nobody }
`,
    );
    const { code, out, err } = await check('class');
    expect(code).toBe(0);
    expect(err).toContain('Let go of all pads of north');
    expect(err).toContain(
      'Now touch every pad once, firmly, in the printed order: E1 fret 1 to 2, E1 pluck, then the next string',
    );
    expect(out).toContain('E1 pluck      2    300     +90      3    30:1  fit');
    expect(out).toContain('2 of 3 pads are fit. Fix first: E1 fret 2 (weak).');
  }, 30_000);

  it('judges what it has when told to stop', async () => {
    const program = start(['check', 'class'], folder.path);
    await program.saw(/Now touch every pad/);
    program.signal('SIGINT');
    const { code, out } = await program.ended;
    expect(code).toBe(0);
    expect(out).toContain('pads are fit');
  }, 30_000);
});
