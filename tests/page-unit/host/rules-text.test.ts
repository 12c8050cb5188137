import { describe, expect, it } from 'vitest';
import { parseRoom } from '../../../src/instrument/room.js';
import { parseRules, PLAIN } from '../../../src/instrument/rules.js';
import { ruleControls } from '../../../src/page/host/rule-controls.js';
import { changedRulesText, newRulesText } from '../../../src/page/host/rules-text.js';
import { asOwn, withSeatFile } from '../../../src/page/host/room-text.js';
import { differentKeys, ruleValues, withValues } from '../../../src/page/host/try-rules.js';
import type { Rules } from '../../../src/instrument/types.js';

const tried = (values: Record<string, string>, rules: Rules = PLAIN): Rules => {
  const made = withValues(rules, values);
  if (typeof made === 'string') throw new Error(made);
  return made;
};

/** Another value for each control, as its own description allows. */
const OTHERS = Object.fromEntries(
  ruleControls().map(({ key, takes }) => {
    const now = ruleValues(PLAIN)[key]!;
    switch (takes.type) {
      case 'number':
        return [key, String(takes.whole ? Number(now) + 1 : Number(now) / 2 + 0.01)];
      case 'time':
        return [key, takes.none && now !== 'never' ? 'never' : '60ms'];
      case 'choice':
        return [key, takes.of.find((one) => one !== now)!];
      case 'yes-no':
        return [key, String(now !== 'true')];
      case 'text':
        return [key, '[[0, 20], [0.5, 90], [1, 127]]'];
    }
  }),
);
// These two must stay in their order, and the hardest is the most there is.
OTHERS['touch.off'] = '0.05';
OTHERS['velocity.hardest'] = '120';

describe('the controls of a rule set', () => {
  it('are all its keys but the one that names a module, each with what it does', () => {
    const keys = Object.keys(ruleValues(PLAIN)).filter((key) => key !== 'logic');
    expect(ruleControls().map(({ key }) => key)).toEqual(keys);
    for (const { about } of ruleControls()) expect(about).toMatch(/\.$/);
  });

  it('say what each takes, so that a value made by that is taken', () => {
    const rules = tried(OTHERS);
    expect(differentKeys(PLAIN, rules).sort()).toEqual(Object.keys(OTHERS).sort());
    const of = (key: string): unknown => ruleControls().find((one) => one.key === key)?.takes;
    expect(of('touch.on')).toEqual({ type: 'number', least: 0.01, most: 1, whole: false });
    expect(of('strings.late-fret')).toEqual({ type: 'time', none: true });
    expect(of('touch.lift')).toEqual({ type: 'time', none: false });
    expect(of('voices.keep')).toMatchObject({ type: 'choice' });
  });
});

describe('rules that are kept', () => {
  it('are read from a new file as they were tried, with a sentence for each key', () => {
    const rules = tried(OTHERS);
    const text = newRulesText({ rules, logic: null, from: 'seat\nnorth' });
    expect(parseRules(text, 'mine.yaml')).toEqual({ ...rules, name: 'mine' });
    expect(text).toContain('  # How long an open string rings.\n  ring: 60ms\n');
    const none = newRulesText({ rules: PLAIN, logic: '../logic/strum.ts', from: 'north' });
    expect(parseRules(none, 'mine.yaml')).toMatchObject({
      ...PLAIN,
      name: 'mine',
      logic: { file: '../logic/strum.ts' },
    });
  });

  it('leave all else in a file as it is, with its comments', () => {
    const text = `# Ours, for the winter concert.
touch:
  # The third unit is a noisy one.
  on: 0.3 # was 0.25
  lift: 30ms
strings: { ring: 2s }
`;
    const was = parseRules(text, 'mine.yaml');
    const now = tried({ 'touch.on': '0.35', 'strings.ring': '1s', 'voices.most': '3' }, was);
    const changed = changedRulesText(text, was, now);
    expect(changed).toBe(`# Ours, for the winter concert.
touch:
  # The third unit is a noisy one.
  on: 0.35 # was 0.25
  lift: 30ms
strings: { ring: 1s }
voices:
  most: 3
`);
    expect(parseRules(changed, 'mine.yaml')).toEqual(now);
    const all = tried(OTHERS, was);
    expect(parseRules(changedRulesText(text, was, all), 'mine.yaml')).toEqual(all);
    expect(parseRules(changedRulesText('# none\n', PLAIN, all), 'mine.yaml')).toEqual(all);
  });
});

describe('a room file in which a seat names another file', () => {
  const ROOM = `# Room 12.
# yaml-language-server: $schema=../schemas/room.schema.json
seats:
  - name:   north   # by the window
    instrument: bass-4x4
    from: { player: demo }
    rules: plain   # for beginners
  - { name: south, instrument: bass-4x4, from: { player: demo } }
to: [ builtin: {} ]
`;

  it('is the same, byte by byte, but for that name', () => {
    expect(withSeatFile(ROOM, 'north', 'rules', 'north slow')).toBe(
      ROOM.replace('plain', 'north slow'),
    );
    expect(withSeatFile(ROOM, 'north', 'rules', 'true')).toBe(ROOM.replace('plain', '"true"'));
  });

  it('has the name added where there was none, and keeps its comments', () => {
    const text = withSeatFile(ROOM, 'south', 'build', 'south')!;
    expect(parseRoom(text, 'x').seats.map(({ build }) => build)).toEqual([null, 'south']);
    for (const words of ['# Room 12.', '# by the window', '# for beginners']) {
      expect(text).toContain(words);
    }
  });

  it('is not guessed at where the seat is gone, or is another one', () => {
    expect(withSeatFile(ROOM, 'west', 'rules', 'mine')).toBeNull();
  });

  it('is not guessed at where a seat is written elsewhere', () => {
    const shared = `seats:
  - &one { name: north, instrument: bass-4x4, from: { player: demo }, rules: &r plain }
  - *one
`;
    expect(
      withSeatFile(
        shared.replace(
          '- *one',
          '- { name: south, instrument: bass-4x4, from: { player: demo }, rules: *r }',
        ),
        'north',
        'rules',
        'mine',
      ),
    ).toBeNull();
  });

  it('of the program, copied, has no line that leads to a schema elsewhere', () => {
    expect(asOwn(ROOM)).toBe(ROOM.replace(/# yaml.*\n/, ''));
  });
});

describe('a value from a page', () => {
  it.each([
    ['&a [*a]', /^touch\.on: found (more than 0 )?references? \(\*\)/],
    ['{'.repeat(40) + '}'.repeat(40), /^touch\.on: found brackets or a reference/],
    [`[${'1,'.repeat(900)}]`, /^touch\.on: found more than 500 words and signs/],
  ])('goes by limits as files do: %s', (text, words) => {
    expect(withValues(PLAIN, { 'touch.on': text })).toMatch(words);
  });

  it('and so do all of them together', () => {
    const values = Object.fromEntries(Object.keys(OTHERS).map((key) => [key, ' '.repeat(2_000)]));
    expect(withValues(PLAIN, values)).toMatch(/more than 8000 characters together/);
  });
});

it('a rules file that only says what is as usual is no empty file', () => {
  const text = newRulesText({ rules: PLAIN, logic: null, from: 'north' });
  expect(parseRules(text, 'plain.yaml')).toEqual(PLAIN);
});
