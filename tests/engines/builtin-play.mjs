// Plays E1 A1 D2 G2 and a slur on the built-in engine, on this machine's default sound card, then closes it.
// Needs a build. Prints one JSON line a notice and one at the end.
//
//   node tests/engines/builtin-play.mjs [SOUNDFONT] [--no-close]
//
// BUILT names another folder of compiled files than dist.
import { pathToFileURL } from 'node:url';
import { resolve } from 'node:path';
import { setTimeout as wait } from 'node:timers/promises';

const built = resolve(process.env.BUILT ?? 'dist', 'ports/sound/engine.js');
const { builtinEngine } = await import(pathToFileURL(built).href);

const noteMs = Number(process.env.NOTE_MS ?? 1500);
const args = process.argv.slice(2);
const soundfont = args.find((arg) => !arg.startsWith('--')) ?? null;
const print = (value) => process.stdout.write(`${JSON.stringify(value)}\n`);

const engine = builtinEngine({
  seats: [{ name: 'north', kind: 'strings', sound: 34, level: 1, pan: 0, strings: 4 }],
  seed: 1,
  soundfont,
  tell: (notice) => print({ notice }),
});
// The card is asked for in the engine's own thread; what comes before it is there is not heard.
await wait(Number(process.env.READY_MS ?? 1500));

let voice = 0;
const begin = performance.now();
const now = () => Math.round((performance.now() - begin) * 1000);
const on = (note, string, how = 'pluck') =>
  engine.send({
    ...{ type: 'on', t: now(), voice: ++voice, seat: 0, note, velocity: 100, strength: 0.7 },
    ...{ string, fret: 0, how },
  });
const off = (note, string, slurred = false) =>
  engine.send({ type: 'off', t: now(), voice, seat: 0, note, string, slurred });

const strings = [28, 33, 38, 43];
for (const [i, note] of strings.entries()) {
  on(note, i);
  await wait(noteMs);
  off(note, i);
  await wait(noteMs / 5);
}
on(33, 1);
await wait(noteMs / 2);
off(33, 1, true);
on(35, 1, 'hammer');
await wait(noteMs);
if (!args.includes('--no-close')) {
  const start = performance.now();
  await engine.close();
  print({ closedInMs: Math.round(performance.now() - start) });
}
