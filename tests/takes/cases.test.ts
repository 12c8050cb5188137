import { readdirSync, readFileSync } from 'node:fs';
import { basename } from 'node:path';
import { describe, expect, it } from 'vitest';
import { readTakeFile } from '../../src/ports/takes/read.js';
import { planTake } from '../../src/ports/takes/plan.js';
import { formatNote } from '../../src/takes/notes.js';
import { allOf } from '../support/takes.js';
import { rerun } from '../../src/takes/rerun.js';

/**
 * Recorded cases: NAME.take.jsonl and what it must play, NAME.notes.jsonl. Each fixed fault of
 * playing leaves one; its header's `why` says what was wrong.
 */
const folder = new URL('./cases/', import.meta.url).pathname;
const names = readdirSync(folder)
  .filter((file) => file.endsWith('.take.jsonl'))
  .map((file) => basename(file, '.take.jsonl'));

describe('recorded cases', () => {
  it('are there', () => {
    expect(names.length).toBeGreaterThan(0);
  });

  it.each(names)('%s', async (name) => {
    const path = `${folder}${name}.take.jsonl`;
    const take = await readTakeFile(path);
    expect(take.header.why, 'why this case is kept').toEqual(expect.any(String));
    const plan = await planTake(path, take.header, folder, {});
    const lines: string[] = [];
    const problems: unknown[] = [];
    rerun(
      await allOf(take.events((problem) => problems.push(problem))),
      plan,
      (_seat, _t, error) => problems.push(error),
    ).subscribe((event) => {
      const line = formatNote(event, ['case']);
      if (line !== null) lines.push(line);
    });
    expect(problems).toEqual([]);
    expect(`${lines.join('\n')}\n`).toBe(readFileSync(`${folder}${name}.notes.jsonl`, 'utf8'));
  });
});
