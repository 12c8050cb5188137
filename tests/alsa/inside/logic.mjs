// Rooms whose seats play by own logic, as a person starts them, into a real synthesizer that is recorded.
import { mkdirSync, writeFileSync } from 'node:fs';
import { demoUnit } from '../../../dist/demo/demo.js';
import { readingsOf } from '../../../dist/demo/gestures.js';
import { formatHeader, formatTakeLine } from '../../../dist/takes/take.js';
import { aconnectList, end, main, report, sleep, start, until } from './helpers.mjs';
import { record, startSynth } from './synth.mjs';

const FOLDER = '/tmp/own';
/** The room opens its MIDI port, and watches its pads at rest, before anything is played. */
const QUIET = 12_000_000;

/** A take of a ukulele: pads held for some time, in microseconds after `QUIET`. */
function writeTake(name, gestures, seconds) {
  const held = gestures.map(({ pad, at, until: to }) => ({
    ...{ pad, at: QUIET + at, until: QUIET + to, strength: 1 },
  }));
  const header = { take: 1, inputs: 28, full: 16_383, instrument: 'ukulele-4x6' };
  const all = [...readingsOf(held, demoUnit(28, 5), QUIET + seconds * 1e6, 5)];
  // Every fourth scan: the emulated machine is slow.
  const scans = all.filter((_, i) => i % 4 === 0);
  const lines = [formatHeader(header), ...scans.map(formatTakeLine)];
  writeFileSync(`${FOLDER}/${name}.take.jsonl`, `${lines.join('\n')}\n`);
  const seat = `{ name: uke, instrument: ukulele-4x6, from: { take: ${name}.take.jsonl }, rules: ${name} }`;
  const to = 'to: [{ midi: { port: fluid } }]';
  writeFileSync(`${FOLDER}/rooms/${name}.yaml`, `seats:\n  - ${seat}\n${to}\n`);
}

/** Plays a room to its end while the synthesizer is recorded. */
async function play(name) {
  const args = ['dist/commands/main.js', 'play', name, '--folder', FOLDER];
  const room = start(name, process.execPath, args);
  const joined = () => /FLUID Synth[\s\S]*?Connected From/.test(aconnectList());
  // The program is read from a slow shared folder.
  await until('the join', joined, 150).catch((error) => {
    throw new Error(`${error.message}: ${room.output}`);
  });
  const recorder = await record(name);
  const code = await room.ended;
  await sleep(1_500);
  await recorder.stop();
  return { code, output: room.output };
}

await main(async () => {
  mkdirSync(`${FOLDER}/rooms`, { recursive: true });
  // G4 C4 E4 A4, a fret's pads side by side: pad 4 × (fret − 1) + string, plucks from 24.
  const second = 4 + 3;
  writeTake(
    'strum',
    [
      { pad: second, at: 0, until: 3_200_000 },
      { pad: 24, at: 500_000, until: 600_000 },
    ],
    5,
  );
  // Frets 5 of C4, 5 of E4 and 6 of G4: F4, A4 and C#5.
  const chord = [4 * 4 + 1, 4 * 4 + 2, 4 * 5];
  writeTake(
    'arpeggio',
    chord.map((pad) => ({ pad, at: 0, until: 3_000_000 })),
    5,
  );
  const synth = await startSynth();
  const strum = await play('strum');
  const arpeggio = await play('arpeggio');
  await end(synth.process);
  report('logic', { strum, arpeggio });
});
