import {
  mkdirSync,
  mkdtempSync,
  renameSync,
  rmSync,
  symlinkSync,
  unlinkSync,
  utimesSync,
  writeFileSync,
} from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterEach, beforeEach, describe, expect, it, vi } from 'vitest';
import { watchFiles, type FileWatch } from '../../../src/ports/files/watch.js';

let root: string;
let watching: FileWatch | null = null;
let changes: (readonly string[])[] = [];

beforeEach(() => {
  root = mkdtempSync(join(tmpdir(), 'pluckwork-watch-'));
  mkdirSync(join(root, 'rules'));
  put('rules/mine.yaml');
  put('rules/yours.yaml');
});
afterEach(() => {
  watching?.close();
  rmSync(root, { recursive: true, force: true });
});

let count = 0;
function put(file: string): string {
  const path = join(root, file);
  writeFileSync(path, `# ${String((count += 1))}\n`);
  return path;
}

async function watch(...files: string[]): Promise<string[]> {
  const paths = files.map((file) => join(root, file));
  changes = [];
  watching = watchFiles({ paths, changed: (changed) => void changes.push(changed) });
  await watching.ready;
  return paths;
}

const told = (paths: readonly string[]): Promise<void> =>
  vi.waitFor(
    () => {
      expect(changes.at(-1)).toEqual(paths);
      changes = [];
    },
    { timeout: 10_000 },
  );

describe('a watched file', () => {
  it('is told of each time it is saved: in place, by a rename, with the same content', async () => {
    const [path = ''] = await watch('rules/mine.yaml', 'rules/yours.yaml');
    put('rules/mine.yaml');
    await told([path]);
    renameSync(put('rules/.mine.yaml.swp'), path);
    await told([path]);
    utimesSync(path, 1, 2);
    await told([path]);
  });

  it('may go away and come back as often as it likes, and be a folder meanwhile', async () => {
    const [path = ''] = await watch('rules/mine.yaml');
    for (let n = 0; n < 3; n++) {
      unlinkSync(path);
      await told([path]);
      expect(watching?.missing()).toEqual([path]);
      if (n === 1) mkdirSync(path);
      else if (n === 2) rmSync(path, { recursive: true, force: true });
      if (n === 1) rmSync(path, { recursive: true });
      put('rules/mine.yaml');
      await told([path]);
      expect(watching?.missing()).toEqual([]);
      put('rules/mine.yaml');
      await told([path]);
    }
  });

  it('is found again in a folder that was moved away and came back', async () => {
    const paths = await watch('rules/mine.yaml', 'rules/yours.yaml');
    renameSync(join(root, 'rules'), join(root, 'elsewhere'));
    await told(paths);
    expect(watching?.missing()).toEqual(paths);
    renameSync(join(root, 'elsewhere'), join(root, 'rules'));
    await told(paths);
    put('rules/yours.yaml');
    await told([paths[1]!]);
  });

  it('may be behind a link, as may its folder', async () => {
    symlinkSync(join(root, 'rules/yours.yaml'), join(root, 'rules/link.yaml'));
    symlinkSync(join(root, 'rules'), join(root, 'linked'));
    const paths = await watch('rules/link.yaml', 'linked/yours.yaml', 'linked/mine.yaml');
    put('rules/yours.yaml');
    await told(paths.slice(0, 2));
    mkdirSync(join(root, 'other'));
    put('other/mine.yaml');
    put('other/yours.yaml');
    unlinkSync(join(root, 'linked'));
    symlinkSync(join(root, 'other'), join(root, 'linked'));
    await told(paths.slice(1));
  });

  it('that is watched only later is told of from then on', async () => {
    const [mine = '', yours = ''] = [join(root, 'rules/mine.yaml'), join(root, 'rules/yours.yaml')];
    await watch('rules/mine.yaml');
    put('rules/yours.yaml');
    expect(await watching?.watch([yours, join(root, 'rules/none.yaml')])).toBe(true);
    expect(await watching?.watch([yours])).toBe(false);
    put('rules/mine.yaml');
    put('rules/yours.yaml');
    await told([yours]);
    expect(changes.flat()).not.toContain(mine);
  });
});

describe('what the system reports', () => {
  it('has a saved file looked at long before the next look is due', async () => {
    let rings: (() => void)[] = [];
    const path = join(root, 'rules/mine.yaml');
    changes = [];
    watching = watchFiles({
      paths: [path],
      changed: (changed) => void changes.push(changed),
      timers: {
        now: () => 0,
        soon: () => () => undefined,
        after(ms, call) {
          // The wait for the next look is never over: only a report can have it look.
          if (ms < 100) rings.push(call);
          return () => {
            rings = rings.filter((ring) => ring !== call);
          };
        },
      },
    });
    await watching.ready;
    put('rules/mine.yaml');
    await vi.waitFor(
      () => {
        for (const ring of rings.splice(0)) ring();
        expect(changes).toEqual([[path]]);
      },
      { timeout: 10_000 },
    );
  });
});
