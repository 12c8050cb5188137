import { expect, test } from 'vitest';
import { FileFault } from '../../../../src/instrument/fault.js';
import { describeRules, parseRules, PLAIN } from '../../../../src/instrument/rules.js';
import {
  draftFault,
  drafted,
  stillDrafted,
} from '../../../../src/page/browser/seat/rules/drafts.js';
import { faultPlace } from '../../../../src/page/browser/seat/rules/fault-place.js';
import { ruleGroups } from '../../../../src/page/browser/seat/rules/rule-groups.js';
import { timeParts, timeText } from '../../../../src/page/browser/seat/rules/time-value.js';
import { ruleControls } from '../../../../src/page/host/rule-controls.js';

const controls = ruleControls();
const plain = Object.fromEntries(describeRules(PLAIN).map(({ key, value }) => [key, value]));
const rules = { name: 'plain', values: plain, tried: [], fault: null };

/** What reading a rules file with this one value says; null: nothing. */
function fault(key: string, value: string): string | null {
  const [group, name] = key.split('.');
  try {
    parseRules(`${group!}: { ${name!}: ${value} }`, 'rules/own.yaml');
    return null;
  } catch (error) {
    if (error instanceof FileFault) return error.message;
    throw error;
  }
}

test.each(['strings', 'keys', 'holes', 'hits'] as const)(
  'shows %s what all instruments have and its own, from the finger to the sound',
  (kind) => {
    const names = ruleGroups(controls, kind).map(({ name }) => name);
    expect(names).toEqual(['touch', 'strength', 'velocity', kind, 'voices']);
  },
);

test('every value of the plain rules is one that its control can show and give back', () => {
  for (const control of controls) {
    const value = plain[control.key]!;
    expect(draftFault(control, value), control.key).toBeNull();
    if (control.takes.type === 'time') expect(timeText(timeParts(value))).toBe(value);
    if (control.takes.type === 'choice') expect(control.takes.of).toContain(value);
  }
});

test.each(['0', '0.2', '1', '1.01', '0.005', '-1', '64', '65', '128', '1.5', '20', ''])(
  'refuses the number "%s" exactly where a rules file does',
  (value) => {
    for (const control of controls) {
      if (control.takes.type !== 'number') continue;
      // What is measured by another value is the service's to judge.
      const words = fault(control.key, value === '' ? '""' : value);
      if (words !== null && /touch\.on, which|hardest, which|as strength/.test(words)) continue;
      expect(draftFault(control, value) !== null, `${control.key}: ${value}`).toBe(words !== null);
    }
  },
);

test.each(['', '12', 'ms', '1,5ms', '-3ms', 'soon'])('refuses the time "%s"', (value) => {
  const control = controls.find(({ key }) => key === 'touch.lift')!;
  // A number without its unit is shown as milliseconds, and given back with them.
  const shown = timeText(timeParts(value));
  expect(draftFault(control, shown) === null).toBe(fault('touch.lift', shown) === null);
});

test('takes "never" only where a rules file does', () => {
  for (const control of controls.filter(({ takes }) => takes.type === 'time')) {
    const here = draftFault(control, 'never') === null;
    expect(here, control.key).toBe(fault(control.key, 'never') === null);
  }
});

test.each([
  ['touch.off', '0.5'],
  ['touch.lift', '30'],
  ['velocity.softest', '0'],
  ['velocity.curve', 'steep'],
  ['strings.brush-share', '2'],
  ['strings.brush', '2min'],
  ['voices.most', '999'],
])('shows the fault of %s at its control', (key, value) => {
  const words = fault(key, value)!;
  expect(
    faultPlace(
      words,
      controls.map((one) => one.key),
      [key, 'touch.on'],
    ),
  ).toBe(key);
});

test('words that name no key are shown at the one control that was changed, or at none', () => {
  const keys = controls.map(({ key }) => key);
  expect(faultPlace('The room has ended', keys, ['touch.on'])).toBe('touch.on');
  expect(faultPlace('The room has ended', keys, ['touch.on', 'touch.off'])).toBeNull();
});

test('a value that is set back to what plays now is no change', () => {
  const once = drafted({}, rules, 'touch.on', '0.3');
  expect(once).toEqual({ 'touch.on': '0.3' });
  expect(drafted(once, rules, 'touch.on', '0.2')).toEqual({});
});

test('what was tried elsewhere and plays now is no change here any more', () => {
  const now = { ...rules, values: { ...plain, 'touch.on': '0.3' } };
  const drafts = { 'touch.on': '0.3', 'touch.off': '0.1' };
  expect(stillDrafted(drafts, now)).toEqual({ 'touch.off': '0.1' });
});
