import { join } from 'node:path';
import { describe, expect, it } from 'vitest';
import type { Notice } from '../../src/ports/contracts.js';
import { shareRun, type MachineRun } from './machine.js';
import { cents, hzOf, rmsDb, steadyPitches } from './pitches.js';

/** A note is right within 50 cents (mir_eval, transcription.py). */
const RIGHT = 50;

let run: MachineRun;
let told: Notice[];
let goneAfterClose: boolean;

shareRun('sound', 300, async (now) => {
  run = now;
  ({ told, goneAfterClose } = (await run.json('sound.json')) as {
    told: Notice[];
    goneAfterClose: boolean;
  });
});

/** The recorded notes, each checked to be right. */
async function expectNotes(file: string, wanted: readonly number[]): Promise<void> {
  const pitches = await steadyPitches(join(run.outDir, file));
  const text = JSON.stringify(pitches);
  expect(pitches, text).toHaveLength(wanted.length);
  for (const [i, note] of wanted.entries()) {
    expect(Math.abs(cents(pitches[i]!.hz, hzOf(note))), text).toBeLessThan(RIGHT);
  }
}

describe('notes through a MIDI port to FluidSynth', () => {
  it('sound as E1 A1 D2 G2 where the synthesizer was joined to our own port', async () => {
    await expectNotes('own.wav', [28, 33, 38, 43]);
  });

  it('sound on a port by name, taken up again after the synthesizer was started again', async () => {
    await expectNotes('named.wav', [40, 31]);
    expect(
      told.filter(({ where }) => where === 'MIDI port "fluid"').map(({ what }) => what),
    ).toEqual([
      expect.stringMatching(/ is open$/),
      expect.stringMatching(/ has gone$/),
      expect.stringMatching(/ is open again$/),
    ]);
  });

  it('leave nothing sounding: closing ends a held note, and gives the port back', async () => {
    const file = join(run.outDir, 'named.wav');
    // The held note lasted 0.9 s and was followed by at least 1.2 s of recording.
    const [, held] = await steadyPitches(file);
    expect(await rmsDb(file, held!.from, held!.to - held!.from)).toBeGreaterThan(-40);
    expect(await rmsDb(file, -0.5, 0.5)).toBeLessThan(-80);
    expect(goneAfterClose).toBe(true);
  });
});
