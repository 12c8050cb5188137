import { chmodSync, mkdtempSync, readFileSync, rmSync, statSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, describe, expect, it } from 'vitest';
import { moduleHash, settingsFolder, trustedModules } from '../../../src/ports/logic/trusted.js';

const folder = mkdtempSync(join(tmpdir(), 'trusted-'));
afterAll(() => {
  rmSync(folder, { recursive: true });
});

describe('trusted modules', () => {
  it('are known by their SHA-256, as other programs count it', () => {
    // "abc" of FIPS 180-4's examples.
    expect(moduleHash('abc')).toBe(
      'ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad',
    );
  });

  it('are kept where each system has a person’s settings', () => {
    const of = settingsFolder;
    expect(of('linux', {}, '/home/a')).toBe(join('/home/a', '.config', 'pluckwork'));
    expect(of('linux', { XDG_CONFIG_HOME: '/cfg' }, '/home/a')).toBe(join('/cfg', 'pluckwork'));
    expect(of('linux', { XDG_CONFIG_HOME: 'cfg' }, '/home/a')).toBe(
      join('/home/a', '.config', 'pluckwork'),
    );
    expect(of('darwin', {}, '/Users/a')).toBe(
      join('/Users/a', 'Library', 'Application Support', 'pluckwork'),
    );
    expect(of('win32', { APPDATA: 'R' }, 'H')).toBe(join('R', 'pluckwork'));
    expect(of('win32', {}, 'H')).toBe(join('H', 'AppData', 'Roaming', 'pluckwork'));
  });

  it('are known to the next program, in a file of this person alone', () => {
    const modules = trustedModules(join(folder, 'a', 'b'));
    const hash = moduleHash('one');
    expect(modules.has(hash)).toBe(false);
    expect(modules.add(hash, '../od\nd.ts')).toBeNull();
    expect(modules.has(hash)).toBe(true);
    expect(statSync(modules.path).mode & 0o777).toBe(0o600);
    expect(readFileSync(modules.path, 'utf8')).toBe(`${hash}  .. od d.ts\n`);
    expect(trustedModules(join(folder, 'a', 'b')).has(hash)).toBe(true);
  });

  it('are none where the file is broken, or others may write to it', () => {
    const other = join(folder, 'c');
    const modules = trustedModules(other);
    const hash = moduleHash('two');
    modules.add(hash, 'x');
    chmodSync(modules.path, 0o666);
    expect(trustedModules(other).has(hash)).toBe(false);
    chmodSync(modules.path, 0o600);
    expect(trustedModules(other).has(hash)).toBe(true);
    writeFileSync(modules.path, Buffer.from([0xff, 0, 0xfe]));
    expect(trustedModules(other).has(hash)).toBe(false);
  });

  it('do not fill the disk', () => {
    const modules = trustedModules(join(folder, 'd'));
    const hashes = Array.from({ length: 2_500 }, (_, i) => moduleHash(String(i)));
    for (const hash of hashes) modules.add(hash, 'x');
    expect(readFileSync(modules.path, 'utf8').split('\n').length).toBeLessThan(2_100);
    expect(trustedModules(join(folder, 'd')).has(hashes.at(-1)!)).toBe(true);
  });

  it('that cannot be kept are trusted until the program ends', () => {
    writeFileSync(join(folder, 'file'), '');
    const modules = trustedModules(join(folder, 'file', 'x'));
    expect(modules.add(moduleHash('three'), 'x')).not.toBeNull();
    expect(modules.has(moduleHash('three'))).toBe(true);
  });
});
