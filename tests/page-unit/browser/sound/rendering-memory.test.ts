import { setFlagsFromString } from 'node:v8';
import { runInNewContext } from 'node:vm';
import { describe, expect, it } from 'vitest';
import { PAGE_CEILING } from '../../../../src/page/browser/sound/ceiling.js';
import { Rendering } from '../../../../src/page/browser/sound/rendering.js';
import { on, ROOM } from '../../../engine/builtin/helpers.js';

const BLOCK = 128;

// In a file, and so in a process, of its own: the renderers that fail for the other tests are proxies, for
// which the compiler makes other code, which boxes numbers.
describe('memory', () => {
  it('is not used by blocks, whatever sounds in them', () => {
    setFlagsFromString('--expose-gc');
    const gc = runInNewContext('gc') as () => void;
    const rendering = new Rendering(48_000, () => undefined);
    const begin = { seats: ROOM, seed: 1, ceiling: PAGE_CEILING, patience: Infinity };
    rendering.handle({ type: 'begin', ...begin });
    const chord = Array.from({ length: 32 }, (_, i) =>
      on({ voice: i + 1, seat: i % 4, string: i, note: 40 + i, how: 'press' }),
    );
    const left = new Float32Array(BLOCK);
    const right = new Float32Array(BLOCK);
    let frame = 0;
    const blocks = (count: number): void => {
      for (let i = 0; i < count; i++, frame += BLOCK) rendering.fill(left, right, frame);
    };
    // Long enough for the compiler to be done with it.
    for (let round = 0; round < 3; round++) {
      rendering.handle({ type: 'events', events: chord, frames: chord.map(() => 0) });
      blocks(2_000);
    }
    rendering.handle({ type: 'events', events: chord, frames: chord.map(() => 0) });
    blocks(1);
    gc();
    const before = process.memoryUsage().heapUsed;
    blocks(2_000);
    const used = process.memoryUsage().heapUsed - before;
    process.stdout.write(`2000 blocks of 32 voices: ${String(used)} bytes of heap\n`);
    // A single number of 16 bytes a block would be 32 kB; asking costs about as much.
    expect(used / 2_000).toBeLessThan(16);
  });
});
