import { describe, expect, it } from 'vitest';
import fc from 'fast-check';
import { formatNote } from '../../src/takes/notes.js';
import { NotATake, openTake } from '../../src/takes/read.js';
import { eventsIn } from '../support/takes.js';
import { formatTakeLine, type TakeProblem } from '../../src/takes/take.js';
import type { WireEvent } from '../../src/wire/scan.js';

const HEADER = '{"take":1,"inputs":20,"full":16383,"instrument":"bass-4x4"}';

async function read(text: string): Promise<{ events: WireEvent[]; problems: TakeProblem[] }> {
  const problems: TakeProblem[] = [];
  return { events: await eventsIn(text, (problem) => problems.push(problem)), problems };
}

describe('a take', () => {
  it('reads the design’s example', async () => {
    const { events, problems } = await read(`${HEADER}\n[1042000,16,1180,0,1544]\n`);
    expect(problems).toEqual([]);
    expect(events).toEqual([
      { type: 'scan', t: 1_042_000, inputs: [16, 0], raws: [1_180, 1_544] },
    ]);
  });

  it('keeps whatever else its header carries', async () => {
    const text = '{"take":1,"inputs":3,"full":127,"room":"blue room","by":["a","b"]}\n';
    expect((await openTake(text)).header).toMatchObject({ room: 'blue room', by: ['a', 'b'] });
  });

  it.each([
    ['', 'the take is empty: nothing was recorded'],
    ['\n', 'the take is empty'],
    ['notes', 'not JSON'],
    ['[1,2]', 'not a header'],
    ['{"inputs":3}', 'no "take" key'],
    ['{"take":2,"inputs":3,"full":9}', 'version is 2'],
    ['{"take":1,"inputs":0,"full":9}', '"inputs" must be'],
    ['{"take":1,"inputs":3}', '"full" must be'],
  ])('refuses the header %j', async (text, what) => {
    await expect(openTake(text)).rejects.toThrow(NotATake);
    await expect(openTake(text)).rejects.toThrow(what);
  });

  it('reads a take that an editor has saved with a byte order mark', async () => {
    const { events, problems } = await read(`\uFEFF${HEADER}\n[1,0,5]\n`);
    expect(problems).toEqual([]);
    expect(events).toHaveLength(1);
  });

  it('passes over lines that cannot be read, and says which and why', async () => {
    const { events, problems } = await read(
      [HEADER, '[1,0,5]', '[0,0,5]', '[2,0]', '[3,20,5]', '[4,0,16384]', '{"t":5}', '', '[6,0,7]', ''].join(
        '\n',
      ),
    );
    expect(events.map(({ t }) => t)).toEqual([1, 6]);
    expect(problems.map(({ line }) => line)).toEqual([3, 4, 5, 6, 7]);
    expect(problems[0]!.what).toBe('its time 0 is before the line above it; the line was left out');
    expect(problems[2]!.what).toBe(
      'input 20 is not one of the 20 inputs (0 to 19); the line was left out',
    );
  });

  it('reports a cut-off last line and skips it', async () => {
    const { events, problems } = await read(`${HEADER}\n[1,0,5]\n[2,0,`);
    expect(events.length).toBe(1);
    expect(problems).toEqual([{ line: 3, what: 'the last line is cut off; it was left out' }]);
  });

  it('gives back what was written', async () => {
    const scan = fc.record({
      type: fc.constant('scan' as const),
      readings: fc.array(fc.tuple(fc.nat(19), fc.nat(16_383)), { maxLength: 20 }),
    });
    const reset = fc.record({
      type: fc.constant('reset' as const),
      why: fc.constantFrom('lost' as const, 'overflow' as const, 'silence' as const),
    });
    await fc.assert(
      fc.asyncProperty(fc.array(fc.tuple(fc.nat(9_999), fc.oneof(scan, reset))), async (moves) => {
        let t = 0;
        const events = moves.map(([gap, move]): WireEvent => {
          t += gap;
          if (move.type === 'reset') return { type: 'reset', t, why: move.why };
          return {
            type: 'scan',
            t,
            inputs: move.readings.map(([input]) => input),
            raws: move.readings.map(([, raw]) => raw),
          };
        });
        const text = [HEADER, ...events.map(formatTakeLine), ''].join('\n');
        expect(await read(text)).toEqual({ events, problems: [] });
      }),
    );
  });

  it('keeps the time of its end as an empty scan', async () => {
    expect(formatTakeLine({ type: 'reset', t: 9, why: 'end' })).toBe('[9]');
  });
});

describe('a notes file', () => {
  it('has the design’s lines', async () => {
    const on = {
      type: 'on',
      t: 1_043_000,
      voice: 7,
      seat: 0,
      note: 33,
      velocity: 96,
      strength: 0.7,
      string: 2,
      fret: 0,
      how: 'pluck',
    } as const;
    expect(formatNote(on, ['north'])).toBe(
      '{"t":1043000,"type":"on","note":33,"velocity":96,"string":2,"fret":0,"voice":7}',
    );
    expect(
      formatNote({ ...on, type: 'off', t: 1_411_000, slurred: false }, ['north']),
    ).toBe('{"t":1411000,"type":"off","note":33,"voice":7}');
    expect(formatNote({ type: 'silence', t: 1 }, ['north'])).toBeNull();
    expect(formatNote(on, ['north', 'south'])).toContain('"seat":"north"');
  });
});
