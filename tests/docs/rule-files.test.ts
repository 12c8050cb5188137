import { readFileSync } from 'node:fs';
import { expect, it } from 'vitest';
import { RULE_FILES } from './rule-files.js';

it.each(Object.entries(RULE_FILES))(
  '%s is as the table of rules makes it (if not: npm run docs)',
  async (file, text) => {
    expect(readFileSync(new URL(`../../${file}`, import.meta.url), 'utf8')).toBe(await text());
  },
);
