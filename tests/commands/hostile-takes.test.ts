import { afterAll, afterEach, describe, expect, it } from 'vitest';
import { endPrograms, run, workFolder } from './program.js';

const folder = workFolder();
afterEach(endPrograms);
afterAll(folder.remove);

describe('a take made to do harm', () => {
  it('that nests 20,000 levels deep is refused in words', async () => {
    const deep = `${'['.repeat(20_000)}${']'.repeat(20_000)}`;
    const header = `{"take":1,"inputs":20,"full":16383,"instrument":{"name":${deep}}}\n`;
    folder.write('deep.take.jsonl', header);
    const { code, out, err } = await run(['rerun', 'deep.take.jsonl'], folder.path);
    expect([code, out, err]).toEqual([
      1,
      '',
      'error: deep.take.jsonl: it nests lists or groups deeper than any take does.\n',
    ]);
  });

  it('that names its rules by a path has nothing of that file opened or quoted', async () => {
    folder.write(
      'path.take.jsonl',
      '{"take":1,"inputs":20,"full":9,"instrument":"bass-4x4","rules":"/etc/passwd"}\n',
    );
    const { code, out, err } = await run(['rerun', 'path.take.jsonl'], folder.path);
    expect([code, out]).toEqual([1, '']);
    expect(err).toContain('the take names its rules by "/etc/passwd", which is not a plain name');
    expect(err).not.toContain('root:');
  });
});
