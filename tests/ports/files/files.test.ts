import { mkdirSync, mkdtempSync, readdirSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { dirname, join } from 'node:path';
import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import { FileFault } from '../../../src/instrument/fault.js';
import { padCount } from '../../../src/instrument/instrument-pads.js';
import { padNames } from '../../../src/instrument/pad-names.js';
import { PLAIN } from '../../../src/instrument/rules.js';
import type { Build } from '../../../src/instrument/types.js';
import {
  loadBuild,
  loadInstrument,
  loadOscMessages,
  loadRoom,
  loadRules,
  saveBuild,
} from '../../../src/ports/files/files.js';
import { findFile, namesOf, SHIPPED } from '../../../src/ports/files/find.js';
import { loadWholeRoom } from '../../../src/ports/files/room.js';

let folder: string;
beforeEach(() => {
  folder = mkdtempSync(join(tmpdir(), 'files-'));
});
afterEach(() => {
  rmSync(folder, { recursive: true, force: true });
});

function put(path: string, content: string | Uint8Array): string {
  const full = join(folder, path);
  mkdirSync(dirname(full), { recursive: true });
  writeFileSync(full, content);
  return full;
}

/** What is said, with our two folders by short names. */
async function said(work: Promise<unknown>): Promise<string> {
  const error: unknown = await work.then(
    () => 'nothing',
    (one: unknown) => one,
  );
  if (!(error instanceof FileFault)) throw error;
  return error.message.replaceAll(folder, 'KIT').replaceAll(/(?<= |")config\//g, 'SHIPPED/');
}

const PAIR =
  'name: Pair\nkind: strings\nsound: 34\nstrings: [{ open: G2, frets: [0], pluck: 1 }]\n';
const BUILD: Build = {
  wiring: [1, 0],
  pads: [
    { rest: 100, span: 900, noise: 3, coupling: [{ from: 1, share: 0.1 }] },
    { rest: 120, span: -80.5, noise: 2, coupling: [] },
  ],
};

describe('a bare name', () => {
  it('is one of the shipped files', async () => {
    expect(padCount(await loadInstrument('bass-4x4', folder))).toBe(20);
    expect(await loadRules('plain', folder)).toEqual(PLAIN);
    expect((await loadRoom('demo', folder)).seats[0]?.from).toEqual({ player: 'demo' });
    expect((await loadOscMessages('plain', folder)).on).toMatch(/^\//);
  });

  it("is the person's own file first", async () => {
    put('instruments/bass-4x4.yaml', PAIR);
    put('rules/calm.yml', 'touch: { lift: 20ms }');
    expect((await loadInstrument('bass-4x4', folder)).name).toBe('Pair');
    expect((await loadRules('calm', folder)).name).toBe('calm');
    expect(await findFile('rules', 'calm', folder)).toBe(join(folder, 'rules', 'calm.yml'));
    expect(await namesOf('rules', folder)).toEqual([
      ...['arpeggio', 'calm', 'instant', 'legato', 'plain', 'strum'],
    ]);
  });

  it('that is nowhere is answered with where it was looked for and the nearest', async () => {
    expect(await said(loadInstrument('bass-4x5', folder))).toBe(
      `bass-4x5: found no such file, allowed: an instrument in KIT/instruments or SHIPPED/instruments
    Did you mean "bass-4x4"?`,
    );
    expect(await said(loadBuild('north', folder))).toBe(
      `north: found no such file, allowed: a build in KIT/builds or SHIPPED/builds
    Calibrate the unit, which writes this file`,
    );
    expect(await said(loadRules('zither', folder))).toBe(
      `zither: found no such file, allowed: rules in KIT/rules or SHIPPED/rules
    Put a file zither.yaml into KIT/rules, or use one of these: arpeggio, instant, legato, plain, strum`,
    );
  });
});

describe('a path', () => {
  it('starts from the folder', async () => {
    put('monday/pair.yaml', PAIR);
    put('pair.yaml', PAIR);
    expect((await loadInstrument('monday/pair.yaml', folder)).name).toBe('Pair');
    expect((await loadInstrument('pair.yaml', folder)).name).toBe('Pair');
    expect((await loadInstrument(join(folder, 'pair.yaml'), '/')).name).toBe('Pair');
  });

  it('that leads nowhere is answered with its neighbours, or the bare name', async () => {
    put('monday/pair.yaml', PAIR);
    expect(await said(loadInstrument('monday/piar.yaml', folder))).toBe(
      `monday/piar.yaml: found no such file, allowed: an instrument at KIT/monday/piar.yaml
    Did you mean "pair.yaml"?`,
    );
    expect(await said(loadInstrument('bass-4x4.yaml', folder))).toBe(
      `bass-4x4.yaml: found no such file, allowed: an instrument at KIT/bass-4x4.yaml
    Write the name alone: bass-4x4`,
    );
  });

  it('that leads to a folder is answered with the files in it, and no folder is offered', async () => {
    put('monday/pair.yaml', PAIR);
    put('monday/old.yaml/pair.yaml', PAIR);
    expect(await said(loadInstrument('monday/', folder))).toBe(
      `monday/: found no such file, allowed: an instrument at KIT/monday
    That is a folder: name a file in it, or use one of these: pair.yaml`,
    );
    expect(await said(loadInstrument('monday/ald.yaml', folder))).toContain(
      'Check the path, or use one of these: pair.yaml',
    );
  });
});

describe('a file that is no text', () => {
  it('is refused in words', async () => {
    put('latin.yaml', new Uint8Array([0x6e, 0x61, 0x6d, 0x65, 0x3a, 0x20, 0xe9]));
    expect(await said(loadInstrument('latin.yaml', folder))).toBe(
      `KIT/latin.yaml:1:1: found a byte (233, which may be meant as "é") that is no UTF-8 text, allowed: UTF-8 text
    Save it again in your editor as UTF-8 ("Save as", "Encoding: UTF-8"; in Windows Notepad: UTF-8)`,
    );
    put('huge.yaml', `# ${'x'.repeat(1_000_000)}`);
    expect(await said(loadInstrument('huge.yaml', folder))).toContain('1000002 bytes');
  });

  it('but a byte order mark is none of its business', async () => {
    put('marked.yaml', `\ufeff${PAIR}`);
    expect((await loadInstrument('marked.yaml', folder)).name).toBe('Pair');
  });
});

describe('a build', () => {
  it('is kept whole, and found again by its name', async () => {
    const { path } = await saveBuild(BUILD, 'north', folder);
    expect(path).toBe(join(folder, 'builds', 'north.json'));
    expect(await loadBuild('north', folder)).toEqual(BUILD);
    expect(JSON.parse(readFileSync(path, 'utf8'))).toEqual(BUILD);
    await saveBuild({ ...BUILD, wiring: [0, 1] }, 'north', folder);
    expect((await loadBuild('north', folder)).wiring).toEqual([0, 1]);
    expect(readdirSync(join(folder, 'builds'))).toEqual(['earlier', 'north.json']);
  });

  it('that could not be read again is not written over a good one', async () => {
    await saveBuild(BUILD, 'north', folder);
    const broken = { ...BUILD, pads: [null, { rest: NaN, span: 1, noise: 1, coupling: [] }] };
    expect(await said(saveBuild(broken, 'north', folder))).toContain('pads[1].rest: found nothing');
    expect(await loadBuild('north', folder)).toEqual(BUILD);
  });

  it('that has no place says so and leaves nothing behind', async () => {
    put('builds', 'a file where the folder should be');
    expect(await said(saveBuild(BUILD, 'north', folder))).toMatch(
      /^KIT\/builds\/north\.json: found that it cannot be written \(.+\), allowed: a folder /,
    );
    mkdirSync(join(folder, 'south.json'));
    expect(await said(saveBuild(BUILD, 'south.json', folder))).toContain('cannot be written');
    expect(readdirSync(folder).sort()).toEqual(['builds', 'south.json']);
  });
});

describe('a whole room', () => {
  it.each(['demo', 'osc', 'midi'])('%s comes with all that it names', async (name) => {
    const { room, seats, files } = await loadWholeRoom(name, folder);
    expect(seats).toHaveLength(1);
    expect(seats[0]).toMatchObject({ build: null, rules: PLAIN, seat: room.seats[0] });
    expect(padNames(seats[0]!.instrument)[3]).toBe('E1 fret 1');
    expect(seats[0]!.rulesFile).toBe(join(SHIPPED, 'rules', 'plain.yaml'));
    expect(files.slice(0, 3)).toEqual([
      join(SHIPPED, 'rooms', `${name}.yaml`),
      join(SHIPPED, 'instruments', 'bass-4x4.yaml'),
      join(SHIPPED, 'rules', 'plain.yaml'),
    ]);
    for (const to of room.to) {
      if ('osc' in to) expect(to.osc.messages).toEqual(await loadOscMessages('plain', folder));
    }
  });

  it('has builds, takes and SoundFonts in it by their full paths', async () => {
    put('instruments/pair.yaml', PAIR);
    await saveBuild(BUILD, 'north', folder);
    const take = put('takes/monday.jsonl', '{"take":1,"inputs":2,"full":1023}\n');
    const soundfont = put('bass.sf2', 'x');
    put(
      'rooms/hall.yaml',
      `seats:
  - { name: a, instrument: pair, build: north, from: { osc: 9000 }, rules: legato }
  - { name: b, instrument: pair, from: { take: takes/monday.jsonl } }
to:
  - builtin: { soundfont: bass.sf2 }
  - osc: { host: 127.0.0.1, port: 1, messages: { on: /a, off: /b, silence: /c } }
`,
    );
    const { room, seats } = await loadWholeRoom('hall', folder);
    expect(seats.map(({ build }) => build)).toEqual([BUILD, null]);
    expect(seats.map(({ rules }) => rules.name)).toEqual(['legato', 'plain']);
    expect(room.seats[1]!.from).toEqual({ take });
    expect(room.to).toMatchObject([
      { builtin: { soundfont, seed: 1, ceiling: { peak: -1, loudness: -16 } } },
      { osc: { messages: { on: '/a' } } },
    ]);
  });

  it('says everything that is wrong at the line that names it, and then what is wrong inside', async () => {
    put('instruments/pair.yaml', PAIR);
    put('instruments/torn.yaml', 'name: Torn\nkind: strings\nsound: 34\nstrings: [{ open: G2 }]\n');
    put('builds/large.json', '{"wiring": [0, 1, 2], "pads": [null, null, null]}');
    put('takes/monday.jsonl', '{}');
    put(
      'rooms/hall.yaml',
      `seats:
  - name: a
    instrument: torn
    from: { osc: 9000 }
    rules: legatto
  - name: b
    instrument: pair
    build: large
    from: { osc: 9000 }
  - name: c
    instrument: torn
    build: gone
    from: { take: takes/mondya.jsonl }
to:
  - osc: { host: 127.0.0.1, port: 9100, messages: plian }
  - builtin: { soundfont: sounds/bass.sf2 }
`,
    );
    expect(await said(loadWholeRoom('hall', folder))).toBe(
      `KIT/rooms/hall.yaml:3:17: seats[0].instrument: found "torn", in which something is wrong, allowed: a file without mistakes
    Fix what is said about KIT/instruments/torn.yaml below
KIT/rooms/hall.yaml:5:12: seats[0].rules: found "legatto", allowed: rules in KIT/rules or SHIPPED/rules
    Did you mean "legato"?
KIT/rooms/hall.yaml:8:12: seats[1].build: found "large", a build of 3 pads, allowed: a build of 2 pads, as "Pair" has
    Calibrate b again, or name the build of this unit
KIT/rooms/hall.yaml:11:17: seats[2].instrument: found "torn", in which something is wrong, allowed: a file without mistakes
    Fix what is said about KIT/instruments/torn.yaml below
KIT/rooms/hall.yaml:12:12: seats[2].build: found "gone", allowed: a build in KIT/builds or SHIPPED/builds
    Calibrate the unit, which writes this file, or use one of these: large
KIT/rooms/hall.yaml:13:19: seats[2].from.take: found "takes/mondya.jsonl", allowed: a take at KIT/takes/mondya.jsonl
    Did you mean "monday.jsonl"?
KIT/rooms/hall.yaml:15:51: to[0].osc.messages: found "plian", allowed: engine messages in KIT/engines or SHIPPED/engines
    Did you mean "plain"?
KIT/rooms/hall.yaml:16:27: to[1].builtin.soundfont: found "sounds/bass.sf2", allowed: a SoundFont at KIT/sounds/bass.sf2
    Check the path
KIT/instruments/torn.yaml:4:11: strings[0].pluck: found nothing, allowed: a whole number from 0 to 4095
    Add "pluck:" and its value. The pad that sounds the string`,
    );
  });
});
