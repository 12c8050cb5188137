import { readFileSync } from 'node:fs';
import { afterAll, afterEach, describe, expect, it } from 'vitest';
import { TOPICS } from '../../src/commands/topics.js';
import { endPrograms, run, workFolder } from './program.js';

const folder = workFolder();
const pluckwork = (...args: string[]) => run(args, folder.path);
afterEach(endPrograms);
afterAll(folder.remove);

const COMMANDS = ['play', 'ports', 'calibrate', 'record', 'rerun', 'score'];

describe('help', () => {
  it.each(COMMANDS)('of %s is printed, fits a terminal and is no failure', async (command) => {
    for (const flag of ['--help', '-h']) {
      const { code, out, err } = await pluckwork(command, flag);
      expect([code, err]).toEqual([0, '']);
      expect(out).toMatch(new RegExp(`^Usage: pluckwork ${command}\\b`));
      expect(out).toContain('--log plain|json');
      expect(Math.max(...out.split('\n').map((line) => line.length))).toBeLessThanOrEqual(100);
    }
  });

  it('of the program lists every command', async () => {
    const { code, out, err } = await pluckwork('--help');
    expect([code, err]).toEqual([0, '']);
    for (const command of COMMANDS) expect(out).toMatch(new RegExp(`^  ${command} `, 'm'));
  });

  it('is asked for before anything else is looked at', async () => {
    expect((await pluckwork('play', 'no-such-room', '--help')).code).toBe(0);
  });

  it.each(Object.entries(TOPICS))('on %s is the page %s', async (topic, file) => {
    const { code, out } = await pluckwork('help', topic);
    expect([code, out]).toEqual([0, readFileSync(file, 'utf8')]);
    expect(readFileSync('README.md', 'utf8')).toContain(`(${file})`);
  });

  it('on what there is no page of says what there is', async () => {
    const { code, err } = await pluckwork('help', 'rulse');
    expect([code, err]).toEqual([2, expect.stringContaining('did you mean "rules"?')]);
    expect((await pluckwork('help', 'rerun')).out).toMatch(/^Usage: pluckwork rerun/);
  });

  it('goes with a version, which is that of package.json', async () => {
    const { version } = JSON.parse(readFileSync('package.json', 'utf8')) as { version: string };
    expect(await pluckwork('--version')).toMatchObject({ code: 0, out: `${version}\n`, err: '' });
  });
});

describe('wrong usage ends with 2, prints nothing to standard output, and says what to write', () => {
  it.each([
    [[], 'a command is missing', '--help'],
    [['plya'], 'there is no command "plya"; did you mean "play"?', '--help'],
    [
      ['play', '--recrod', 'x'],
      `Unknown option '--recrod'; did you mean "--record"?`,
      'play --help',
    ],
    [['play', 'one', 'two'], '"two" is one word too many for "play"', 'play --help'],
    [['play', '--log', 'xml'], '--log takes plain or json, not "xml"', 'play --help'],
    [['play', '--record'], "Option '--record <value>' argument missing", 'play --help'],
    [['ports', 'x'], '"x" is one word too many for "ports"', 'ports --help'],
    [['rerun'], 'the take is missing', 'rerun --help'],
    [['record'], 'the room is missing', 'record --help'],
    [
      ['record', 'osc', '--for', '30'],
      '--for takes a time with its unit, such as 30s, not "30"',
      'record --help',
    ],
    [
      ['record', 'osc', '--for', '0s'],
      '--for takes a time longer than 0, such as 30s, not "0s"',
      'record --help',
    ],
    [
      ['calibrate', '--take', 'x', '--build', ''],
      '--build was given an empty text: say which, or leave it out',
      'calibrate --help',
    ],
    [
      ['compare', 'x', '--rules', 'plain', '--rules', ''],
      '--rules was given an empty text: say which, or leave it out',
      'compare --help',
    ],
    [['rerun', ''], 'an empty word was given to "rerun"', 'rerun --help'],
    [['calibrate'], 'the room or --take is missing', 'calibrate --help'],
    [
      ['calibrate', '--take', 'x'],
      '--build is missing: name the build that the take is to make',
      'calibrate --help',
    ],
    [['calibrate', 'osc', '--take', 'x'], 'give a room or --take, not both', 'calibrate --help'],
  ])('%j', async (args, what, help) => {
    expect(await pluckwork(...args)).toMatchObject({
      code: 2,
      out: '',
      err: `error: ${what}\nSee: pluckwork ${help}\n`,
    });
  });
});

describe('a room that cannot be played ends with 1', () => {
  it('where there is none', async () => {
    const { code, out, err } = await pluckwork('play', 'demmo');
    expect([code, out]).toEqual([1, '']);
    expect(err).toMatch(/^error: demmo: found no such file, allowed: a room in rooms or .*\n/);
    expect(err).toMatch(/\n {4}Did you mean "demo"\?\n$/);
  });

  it('with the file, line, column, key, what was found, what is allowed and the fix', async () => {
    const seats = 'seats:\n  - { name: a, instrument: bass-4x4, from: { osc: 90000 } }\n';
    folder.write(
      'rooms/slip.yaml',
      `${seats}  - { name: b, instrument: bas-4x4, from: { osc: 1 } }\n`,
    );
    const slip = await pluckwork('play', 'slip');
    expect(slip.code).toBe(1);
    expect(slip.err).toContain('error: rooms/slip.yaml:2:');
    expect(slip.err).toMatch(/seats\[0\]\.from\.osc: found 90000, allowed: .*65535/);
    folder.write('rooms/names.yaml', `${seats.replace('90000', '9000')}    rules: palin\n`);
    folder.write('rooms/names.yaml', `${seats.replace('90000', '9000').replace('bass', 'bas')}`);
    const names = await pluckwork('play', 'names');
    expect(names.code).toBe(1);
    expect(names.err).toContain('error: rooms/names.yaml:2:');
    expect(names.err).toContain('seats[0].instrument: found "bas-4x4"');
    expect(names.err).toContain('Did you mean "bass-4x4"?');
  });

  it('whose take is not there, before anything is opened', async () => {
    const seat = '{ name: a, instrument: bass-4x4, from: { take: takes/none.jsonl } }';
    folder.write('rooms/again.yaml', `seats:\n  - ${seat}\n`);
    const { code, err } = await pluckwork('play', 'again');
    expect(code).toBe(1);
    expect(err).toMatch(
      /^error: rooms\/again\.yaml:2:\d+: seats\[0\]\.from\.take: found "takes\/none/,
    );
  });
});

describe('ports', () => {
  it('lists ports, or says that there is no MIDI and what to do', async () => {
    const { code, out, err } = await pluckwork('ports', '--log', 'json');
    expect(code).toBe(0);
    expect(out).toMatch(/^MIDI ports that can be listened to .*:\n {2}.*\n/);
    for (const line of err.split('\n').slice(0, -1)) {
      expect(JSON.parse(line)).toMatchObject({ level: 40 });
    }
  });
});
