import { setTimeout as pass } from 'node:timers/promises';
import { afterAll, afterEach, describe, expect, it } from 'vitest';
import { BASS } from '../support/bass.js';
import { endPrograms, start, workFolder } from '../commands/program.js';
import { freePort, startCsound, tool, type Csound } from './csound-process.js';
import { rmsOfLast, stretchesIn } from './heard.js';

const folder = workFolder();
let csound: Csound | undefined;
afterEach(async () => {
  endPrograms();
  await csound?.remove();
});
afterAll(folder.remove);

const REST = 1_000;
const TOUCHED = 1_900;

/** The board is liblo's oscsend: no byte that it sends is made by this project. */
function board(port: number): { scan(...touched: number[]): void } {
  return {
    scan(...touched) {
      const raws = Array.from({ length: 20 }, (_, pad) => (touched.includes(pad) ? TOUCHED : REST));
      const types = `s${'i'.repeat(21)}`;
      const args = ['127.0.0.1', String(port), '/pads', types, 'north', '0', ...raws.map(String)];
      tool('oscsend', args, 'liblo-tools');
    },
  };
}

describe('from liblo through the whole service to Csound', () => {
  it('sounds the string and fret that was touched, for as long as it was held, until SIGTERM', async () => {
    csound = await startCsound();
    const port = await freePort();
    folder.write(
      'rooms/hall.yaml',
      `seats:
  - { name: north, instrument: bass-4x4, rules: instant, from: { osc: ${String(port)} } }
to:
  - osc: { host: 127.0.0.1, port: ${String(csound.port)} }
`,
    );
    const service = start(['play', 'hall'], folder.path);
    await service.saw(/Listening for boards/);
    const { scan } = board(port);
    // At rest for longer than an unknown unit is watched.
    for (let i = 0; i < 3; i++) {
      scan();
      await pass(200);
    }
    // Fret 3 of E1, 2 of A1, 1 of D2, 4 of G2, as MIDI notes.
    const wanted: readonly (readonly [string: number, fret: number, note: number])[] = [
      [3, 3, 31],
      [2, 2, 35],
      [1, 1, 39],
      [0, 4, 47],
    ];
    for (const [string, fret] of wanted) {
      const { frets, pluck } = BASS.strings[string]!;
      const held = frets[fret - 1]!;
      scan(held);
      scan(held, pluck);
      scan(held);
      await pass(600);
      scan();
      // A lift is told once the pad has stayed low for a while.
      await pass(100);
      scan();
      await pass(400);
    }
    const { frets, pluck } = BASS.strings[2]!;
    scan(frets[3]!);
    scan(frets[3]!, pluck);
    await service.saw(/C#2/);
    await pass(600);
    service.signal('SIGTERM');
    expect((await service.ended).code).toBe(0);
    await pass(800);
    await csound.stop();

    const heard = stretchesIn(csound.wav);
    const notes = [...wanted.map(([, , note]) => note), 37];
    const text = JSON.stringify(heard);
    expect(heard, text).toHaveLength(notes.length);
    for (const [i, note] of notes.entries()) {
      const cents = 1_200 * Math.log2(heard[i]!.pitch / (440 * 2 ** ((note - 69) / 12)));
      expect(Math.abs(cents), text).toBeLessThan(50);
    }
    // Below one step of 16 bits.
    expect(rmsOfLast(csound.wav, 0.4)).toBeLessThan(1 / 32_768);
  });
});
