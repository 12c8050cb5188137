import { mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, describe, expect, it } from 'vitest';
import { FileFault } from '../../src/instrument/fault.js';
import { loadRules } from '../../src/ports/files/files.js';
import { readTakeFile } from '../../src/ports/takes/read.js';

const folder = mkdtempSync(join(tmpdir(), 'pluckwork-encodings-'));
afterAll(() => {
  rmSync(folder, { recursive: true });
});

const RULES = '# Für die Klasse\ntouch:\n  on: 0.5\n';

async function said(bytes: Uint8Array): Promise<string> {
  const path = join(folder, 'mine.yaml');
  writeFileSync(path, bytes);
  try {
    const rules = await loadRules(path, folder);
    return `on ${String(rules.touch.on)}`;
  } catch (error) {
    if (error instanceof FileFault) return error.message;
    throw error;
  }
}

const utf16le = (text: string): Buffer => Buffer.from(text, 'utf16le');
const utf16be = (text: string): Buffer => utf16le(text).swap16();

describe('a file in another encoding', () => {
  it.each([
    ['little-endian with a mark', utf16le(`\ufeff${RULES}`)],
    ['big-endian with a mark', utf16be(`\ufeff${RULES}`)],
    ['little-endian without', utf16le(RULES)],
    ['big-endian without', utf16be(RULES)],
  ])('is told to be UTF-16, and how to save it: %s', async (_what, bytes) => {
    const words = await said(bytes);
    expect(words).toContain('found a text saved as UTF-16, allowed: UTF-8 text');
    expect(words).toMatch(/Save it again in your editor as UTF-8 .*Windows Notepad/);
  });

  it('is told with line and letter where it is Latin-1', async () => {
    const words = await said(Buffer.from('touch:\n  on: 0.5\n# Für die Klasse\n', 'latin1'));
    expect(words).toMatch(/mine\.yaml:3:1: found a byte \(252, which may be meant as "ü"\)/);
    expect(words).toContain('Save it again in your editor as UTF-8');
  });

  it('is read where it is UTF-8, with a byte order mark or without', async () => {
    expect(await said(Buffer.from(RULES))).toBe('on 0.5');
    expect(await said(Buffer.from(`\ufeff${RULES}`))).toBe('on 0.5');
  });

  it('is told of a take too', async () => {
    const take = '{"take":1,"inputs":2,"full":1023}\n[0,0,1,1,2]\n';
    const path = join(folder, 'a.take.jsonl');
    for (const bytes of [utf16le(`\ufeff${take}`), utf16be(take)]) {
      writeFileSync(path, bytes);
      await expect(readTakeFile(path)).rejects.toThrow(
        /a\.take\.jsonl: found a text saved as UTF-16, not UTF-8; Save it again/,
      );
    }
    writeFileSync(path, `\ufeff${take}`);
    expect((await readTakeFile(path)).header.inputs).toBe(2);
  });
});
