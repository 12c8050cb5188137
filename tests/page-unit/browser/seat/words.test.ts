import { expect, test } from 'vitest';
import { describeRules } from '../../../../src/instrument/rules.js';
import { ruleControls } from '../../../../src/page/host/rule-controls.js';
import type { PageGuide } from '../../../../src/page/link/state.js';
import { adviceOf } from '../../../../src/check/advice.js';
import { unfitWords } from '../../../../src/calibration/words.js';
import { moreWords, stepWords } from '../../../../src/page/browser/seat/guide/guide-words.js';
import { momentOf } from '../../../../src/page/browser/seat/moment.js';
import { careFor } from '../../../../src/page/browser/seat/pads/care.js';
import { levelWord } from '../../../../src/page/browser/seat/pads/level-words.js';
import { elapsed, takeOf } from '../../../../src/page/browser/seat/record/finished.js';
import { de } from '../../../../src/page/browser/texts/de.js';
import { en } from '../../../../src/page/browser/texts/en.js';

test('every rule has a label, and in German its sentence and its choices', () => {
  for (const { key, takes, kind } of ruleControls()) {
    const group = key.split('.')[0]!;
    for (const { seat } of [en, de]) {
      expect(seat.rules.labels[key], key).toBeTruthy();
      expect(seat.rules.groups[group], group).toBeTruthy();
      expect(seat.rules.groupAbout[group], group).toBeTruthy();
    }
    expect(de.seat.rules.about[key], `${key} of ${String(kind)}`).toBeTruthy();
    if (takes.type !== 'choice') continue;
    for (const choice of takes.of) expect(de.seat.rules.choices[choice], choice).toBeTruthy();
  }
});

test('what can differ between two takes has a label, the logic of one’s own among it', () => {
  const keys = describeRules().map(({ key }) => key);
  expect(keys).toContain('logic');
  for (const { seat } of [en, de]) {
    for (const key of keys) expect(seat.rules.labels[key], key).toBeTruthy();
  }
});

test('warns of heat and of blades wherever the advice of "check" asks for such work', () => {
  const joined = adviceOf('joined', null).next;
  expect(joined).toMatch(/solder/i);
  expect(careFor([joined])).toEqual({ heat: true, blade: true });
  expect(careFor([adviceOf('dead', 'frozen').next]).heat).toBe(true);
  expect(careFor([adviceOf('noisy', 'jumps').next]).heat).toBe(true);
  expect(careFor([adviceOf('held', 'first').next])).toEqual({ heat: false, blade: false });
});

test('warns beside the advice of calibration too, which has no caution of its own', () => {
  const steps = (['untouched', 'stuck', 'weak'] as const).map((reason) => {
    const { next } = unfitWords({ pad: 0, reason, ratio: 3 });
    return careFor([next]);
  });
  expect(steps.map(({ heat, blade }) => heat || blade)).toEqual([true, true, true]);
});

test('says levels in words that rise with them', () => {
  const words = Array.from({ length: 256 }, (_, byte) => levelWord(byte));
  expect([...new Set(words)]).toEqual(['rest', 'trace', 'light', 'half', 'full', 'over']);
  expect(levelWord(200)).toBe('full');
});

test('a lost connection comes before what the unit did last', () => {
  const room = { playing: true };
  expect(momentOf('lost', room, { plugged: 'lost', raw: true, misfit: null })).toBe('lost');
  expect(momentOf('open', { playing: false }, { plugged: 'here', raw: true, misfit: null })).toBe(
    'ended',
  );
  expect(momentOf('lost', { playing: false }, { plugged: 'here', raw: true, misfit: null })).toBe(
    'ended',
  );
  expect(momentOf('open', room, { plugged: 'waiting', raw: false, misfit: null })).toBe('waiting');
  expect(momentOf('open', room, { plugged: 'silent', raw: true, misfit: null })).toBe('silent');
  expect(momentOf('open', room, { plugged: 'lost', raw: true, misfit: null })).toBe('pulled');
  expect(momentOf('open', room, { plugged: 'here', raw: false, misfit: null })).toBe('own');
  expect(momentOf('open', room, { plugged: 'here', raw: true, misfit: null })).toBeNull();
  const other = { raw: true, misfit: 'rests' } as const;
  expect(momentOf('open', room, { plugged: 'here', ...other })).toBe('rests');
  expect(momentOf('open', room, { plugged: 'lost', ...other })).toBe('pulled');
});

test('says each step of a guide', () => {
  const guide: PageGuide = {
    guide: 'wire',
    seat: 0,
    phase: 'touching',
    words: '',
    asked: 1,
    done: [0],
    order: [0, 1],
    unfit: [],
    file: null,
  };
  const words = (more: Partial<PageGuide>): string =>
    stepWords({ ...guide, ...more }, ['G2 fret 1', 'G2 fret 2'], en.seat.guide);
  expect(words({})).toBe('Touch: G2 fret 2');
  expect(words({ asked: null, guide: 'calibrate' })).toBe('Touch each pad firmly');
  expect(words({ phase: 'letting-go' })).toBe('Let go of all pads');
});

test('finds the take of a recording by its file, in whatever way the name is listed', () => {
  const take = (name: string) => ({ name, bytes: 1, at: 0, room: false });
  const file = '/home/anna/recordings/north-2.jsonl.gz';
  expect(takeOf(file, [take('north-2.jsonl.gz')])?.name).toBe('north-2.jsonl.gz');
  expect(takeOf('C:\\takes\\north-2.jsonl', [take('north-2')])?.name).toBe('north-2');
  expect(takeOf(file, [take('north'), take('north-20')])).toBeNull();
});

test('tells a time as people write it', () => {
  expect([-5, 0, 83_400, 3_605_000].map(elapsed)).toEqual(['0:00', '0:00', '1:23', '1:00:05']);
});

test('shows of what the service says only what the big words do not say', () => {
  const step = 'Touch: G2 fret 4';
  expect(moreWords('Touch: G2 fret 4 (4 of 20).', step)).toBe('');
  expect(moreWords('Input 5 is G2 fret 3. Touch: G2 fret 4 (4 of 20).', step)).toBe(
    'Input 5 is G2 fret 3.',
  );
  // The one sentence that helps where a pad does not answer.
  const loose =
    'If nothing happens when you touch it, its wire is loose: fix it, or press Skip to skip it.';
  expect(moreWords(`Touch: G2 fret 4 (4 of 20). ${loose}`, step)).toBe(loose);
  expect(moreWords('No readings come.', step)).toBe('No readings come.');
});
