import { describe, expect, it } from 'vitest';
import fc from 'fast-check';
import type { VoiceEvent } from '../../src/room/voice.js';
import { formatNote } from '../../src/takes/notes.js';
import { kindOfFile, notesOf, readNotes } from '../../src/takes/read-notes.js';

const NOTHING_SAID = { offset: null, velocity: null, strength: null, string: null };

const text = (...lines: unknown[]): string =>
  lines.map((line) => (typeof line === 'string' ? line : JSON.stringify(line)) + '\n').join('');

describe('a notes file', () => {
  it('reads the design’s example', () => {
    const { notes, problems } = readNotes(
      text(
        '{"t":1043000,"type":"on","note":33,"velocity":96,"string":2,"fret":0,"voice":7}',
        '{"t":1411000,"type":"off","note":33,"voice":7}',
      ),
    );
    expect(problems).toEqual([]);
    expect(notes).toEqual([
      { onset: 1_043_000, offset: 1_411_000, note: 33, velocity: 96, strength: null, string: 2 },
    ]);
  });

  it('reads wanted notes: on lines alone, with a strength and a duration', () => {
    const { notes, problems } = readNotes(
      text(
        { t: 0, type: 'on', note: 28 },
        { t: 5, type: 'on', note: 29, strength: 0.7, duration: 250_000, bar: 3, by: ['someone'] },
        { t: 9, type: 'on', note: 30, strength: 1, velocity: 90, string: null },
      ),
    );
    expect(problems).toEqual([]);
    expect(notes).toEqual([
      { ...NOTHING_SAID, onset: 0, note: 28 },
      { ...NOTHING_SAID, onset: 5, offset: 250_005, note: 29, strength: 0.7 },
      { ...NOTHING_SAID, onset: 9, note: 30, strength: 1, velocity: 90 },
    ]);
  });

  it('ends notes by their voice, or the earliest of their pitch where no voice is named', () => {
    const { notes, problems } = readNotes(
      text(
        { t: 0, type: 'on', note: 33, voice: 1 },
        { t: 1, type: 'on', note: 33, voice: 2 },
        { t: 2, type: 'on', note: 33 },
        { t: 3, type: 'on', note: 33 },
        { t: 4, type: 'off', note: 33, voice: 2 },
        { t: 5, type: 'off', note: 33 },
        { t: 6, type: 'off', voice: 1 },
        { t: 7, type: 'off', note: 33 },
      ),
    );
    expect(problems).toEqual([]);
    expect(notes.map(({ offset }) => offset)).toEqual([6, 4, 5, 7]);
  });

  it('is read in any order, with blank lines, Windows line ends and a byte order mark', () => {
    const lines = text({ t: 9, type: 'on', note: 30 }, '', { t: 4, type: 'on', note: 29 });
    const { notes, problems } = readNotes(`\uFEFF${lines.replaceAll('\n', '\r\n')}`);
    expect(problems).toEqual([]);
    expect(notes.map(({ onset }) => onset)).toEqual([4, 9]);
  });

  it.each([
    ['scribble', 'it is not JSON'],
    ['[1,16,1180]', 'it is not a note, such as {"t":1043000,"type":"on","note":33,"velocity":96}'],
    ['null', 'it is not a note'],
    ['{"t":1,"note":33}', 'its "type" must be "on" or "off", found nothing'],
    ['{"t":1,"type":"bend","note":33}', 'its "type" must be "on" or "off", found "bend"'],
    ['{"type":"on","note":33}', 'its "t" must be a time in whole microseconds'],
    ['{"t":1.5,"type":"on","note":33}', 'its "t" must be a time in whole microseconds'],
    ['{"t":-1,"type":"on","note":33}', 'found -1'],
    ['{"t":"4ms","type":"on","note":33}', 'found "4ms"'],
    ['{"t":1,"type":"on"}', 'its "note" must be a MIDI note number, a whole number from 0 to 127'],
    ['{"t":1,"type":"on","note":128}', 'found 128'],
    ['{"t":1,"type":"on","note":"A1"}', 'found "A1"'],
    ['{"t":1,"type":"on","note":33,"velocity":0}', 'its "velocity" must be a whole number from 1'],
    ['{"t":1,"type":"on","note":33,"strength":1.1}', 'its "strength" must be a number from 0 to 1'],
    ['{"t":1,"type":"on","note":33,"duration":"1s"}', 'its "duration" must be whole microseconds'],
    ['{"t":1,"type":"on","note":33,"string":-1}', 'its "string" must be the number of a string'],
    ['{"t":1,"type":"off","note":35}', 'it ends note 35, which is not sounding'],
    ['{"t":1,"type":"off","note":28,"voice":3}', 'it ends voice 3, which is not sounding'],
    ['{"t":1,"type":"off","note":28}', 'it ends note 28 before it begins'],
  ])('leaves out %s and says where and why', (line, what) => {
    const good = { t: 2, type: 'on', note: 28 };
    const { notes, problems } = readNotes(text(good, line, { t: 8, type: 'off', note: 28 }));
    expect(notes).toEqual([{ ...NOTHING_SAID, onset: 2, offset: 8, note: 28 }]);
    expect(problems.length).toBe(1);
    expect(problems[0]!.line).toBe(2);
    expect(problems[0]!.what).toContain(what);
    expect(problems[0]!.what).toMatch(/; the line was left out$/);
  });

  it('reports a cut-off last line and skips it, but keeps a whole one without its line end', () => {
    const good = text({ t: 2, type: 'on', note: 28 });
    expect(readNotes(`${good}{"t":3,"type":"on","no`).problems).toEqual([
      { line: 2, what: 'the last line is cut off; it was left out' },
    ]);
    expect(readNotes(`${good}{"t":3,"type":"on","note":29}`)).toMatchObject({
      notes: [{ note: 28 }, { note: 29 }],
      problems: [],
    });
    expect(readNotes(`${good}{"t":3,"type":"on","note":200}`).problems[0]!.what).toContain(
      '"note"',
    );
  });

  it('never throws, and each line is a note, an end or a problem', () => {
    const key = fc.constantFrom('t', 'type', 'note', 'voice', 'velocity', 'duration', '__proto__');
    const value = fc.oneof(
      fc.constantFrom('on', 'off', null),
      fc.nat(130),
      fc.double(),
      fc.jsonValue(),
    );
    const line = fc.oneof(
      fc.dictionary(key, value).map((object) => JSON.stringify(object)),
      fc.json(),
      fc.string(),
    );
    fc.assert(
      fc.property(fc.array(line), (lines) => {
        const { notes, problems } = readNotes(lines.join('\n'));
        const count = lines
          .join('\n')
          .split('\n')
          .filter((one) => one.trim() !== '').length;
        const ended = notes.filter(({ offset }) => offset !== null).length;
        expect(notes.length + problems.length).toBeLessThanOrEqual(count);
        expect(notes.length + problems.length + ended).toBeGreaterThanOrEqual(count);
      }),
    );
  });
});

describe('notes of what engines are told', () => {
  const on = (voice: number, t: number, note: number): VoiceEvent => ({
    type: 'on',
    t,
    voice,
    seat: 0,
    note,
    velocity: 96,
    strength: 0.7,
    string: 2,
    fret: 0,
    how: 'pluck',
  });
  const off = (voice: number, t: number, note: number): VoiceEvent => ({
    type: 'off',
    t,
    voice,
    seat: 0,
    note,
    string: 2,
    slurred: false,
  });
  const events = [on(1, 10, 33), on(2, 12, 33), off(1, 30, 33), on(3, 40, 34), off(2, 50, 33)];

  it('have their onsets, ends and loudness', () => {
    const told = { velocity: 96, strength: 0.7, string: 2 };
    expect(notesOf([...events, { type: 'silence', t: 60 }])).toEqual([
      { ...told, onset: 10, offset: 30, note: 33 },
      { ...told, onset: 12, offset: 50, note: 33 },
      { ...told, onset: 40, offset: null, note: 34 },
    ]);
  });

  it('are those that a notes file of them gives, but for the strength, which it does not hold', () => {
    const lines = events.map((event) => formatNote(event, ['north']));
    expect(readNotes(text(...lines)).notes).toEqual(
      notesOf(events).map((note) => ({ ...note, strength: null })),
    );
  });
});

describe('the kind of a file', () => {
  it.each([
    ['{"take":1,"inputs":20,"full":16383}\n[1,2,3]\n', 'take'],
    ['\uFEFF\r\n{"take":2}', 'take'],
    ['\n  {"t":1,"type":"on","note":33}\nscribble', 'notes'],
    ['{"t":1,"type":"off","note":33}', 'notes'],
    ['', 'notes'],
    [' \n\r\n', 'notes'],
    ['{"t":1,"type":"bend"}', 'neither'],
    ['name: north\n', 'neither'],
    ['null', 'neither'],
    ['[1,2]', 'neither'],
  ] as const)('of %j is %s', (content, kind) => {
    expect(kindOfFile(content)).toBe(kind);
  });
});
