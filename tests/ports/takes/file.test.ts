import { mkdirSync, mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import { saveNew } from '../../../src/ports/fit/save.js';
import { TakeFileFault } from '../../../src/ports/files/fault.js';
import { openLines } from '../../../src/ports/takes/file.js';

let folder = '';
beforeEach(() => (folder = mkdtempSync(join(tmpdir(), 'files-'))));
afterEach(() => {
  rmSync(folder, { recursive: true });
});

describe('a file of lines', () => {
  it('is written into a folder that was not there', async () => {
    const file = openLines(join(folder, 'new', 'notes.jsonl'));
    file.write('{"t":1}');
    file.write('{"t":2}');
    await file.close();
    expect(readFileSync(file.path, 'utf8')).toBe('{"t":1}\n{"t":2}\n');
  });

  it('that cannot be written is told at once, not after all was played', () => {
    mkdirSync(join(folder, 'room.take.jsonl'));
    const open = () => openLines(join(folder, 'room.take.jsonl'));
    expect(open).toThrow(TakeFileFault);
    expect(open).toThrow(/room\.take\.jsonl: it is a folder$/);
  });
});

describe('a new file', () => {
  it('that is there already is not replaced unless one says so', async () => {
    const path = join(folder, 'mine.yaml');
    writeFileSync(path, 'old');
    await expect(saveNew(path, 'new', false)).rejects.toThrow(/such a file already/);
    expect(readFileSync(path, 'utf8')).toBe('old');
    await saveNew(path, 'new', true);
    expect(readFileSync(path, 'utf8')).toBe('new');
  });

  it('whose folder is a file is not told as being there', async () => {
    writeFileSync(join(folder, 'rules'), '');
    const saved = saveNew(join(folder, 'rules', 'mine.yaml'), 'new', false);
    await expect(saved).rejects.toThrow(/a file is where a folder must be; choose another place/);
  });
});
