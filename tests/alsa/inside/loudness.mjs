// The built-in engine on this machine's sound card: how loud it says it is, and what the card plays, recorded.
import { writeFileSync } from 'node:fs';
import { builtinEngine } from '../../../dist/ports/sound/engine.js';
import { main, report, sleep, until } from './helpers.mjs';
import { record } from './synth.mjs';

const card = 'pcm.!default { type plug slave.pcm "hw:1,0" }\nctl.!default { type hw card 1 }\n';
writeFileSync('/root/.asoundrc', card);

const SEATS = ['strings', 'keys', 'holes'].map((kind) => ({
  ...{ name: kind, kind, sound: { strings: 34, keys: 1, holes: 75 }[kind] },
  ...{ level: 1, pan: 0, strings: 4 },
}));
const NOTES = [40, 64, 72];
const HOW = ['pluck', 'press', 'blow'];

await main(async () => {
  const told = [];
  const engine = builtinEngine({
    ...{ seats: SEATS, seed: 1, soundfont: null, tell: (notice) => told.push(notice) },
    ceiling: { peak: -6, loudness: null },
  });
  const before = engine.loudness();
  let t = 0;
  let voice = 0;
  const beat = async (ms) => {
    const first = voice + 1;
    for (const [seat, note] of NOTES.entries()) {
      engine.send({
        ...{ type: 'on', t: t++, voice: ++voice, seat, note, velocity: 127, strength: 1 },
        ...{ string: 0, fret: 0, how: HOW[seat] },
      });
    }
    await sleep(ms);
    for (const [seat, note] of NOTES.entries()) {
      engine.send({
        ...{ type: 'off', t: t++, voice: first + seat, seat, note, string: 0, slurred: false },
      });
    }
  };

  await until('the first word', () => engine.loudness() !== null);
  // This slow machine needs long blocks, and the engine finds out how long while it plays.
  for (let i = 0; i < 8; i++) await beat(500);
  await sleep(1_500);

  const recorder = await record('heard');
  const words = [];
  const look = setInterval(() => {
    const now = engine.loudness();
    if (now !== words.at(-1)?.loudness) words.push({ at: performance.now(), loudness: now });
  }, 20);
  for (let i = 0; i < 16; i++) await beat(500);
  await sleep(600);
  clearInterval(look);
  await engine.close();
  await sleep(800);
  await recorder.stop();
  report('loudness', { before, words, last: engine.loudness(), told });
});
