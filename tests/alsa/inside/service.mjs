// The whole service: a board's bytes in through ALSA, a synthesizer or the sound card out, recorded.
// Writes what happened, and the sound, for service.test.ts.
import { cpSync, writeFileSync } from 'node:fs';
import { aconnectList, end, joinPorts, main, portOf, report, sleep, until } from './helpers.mjs';
import {
  A1,
  D2,
  E1,
  FOLDER,
  G2,
  PATIENCE,
  plucked,
  said,
  service,
  touchboard,
  write,
} from './service-hands.mjs';
import { record, startSynth } from './synth.mjs';

// The board stops sending with a finger down here, until its cable is pulled.
const room = (to) => `seats:
  - name: north
    steady: false
    instrument: bass-4x4
    from: { midi: touchboard, as: frames }
    rules: hall
to:
  - ${to}
`;
write('rules/hall.yaml', 'name: hall\nstrings: { ring: 1200ms }\n');
write('rooms/own.yaml', room('midi: { virtual: pluckwork }'));
write('rooms/named.yaml', room('midi: { port: FLUID, channels: string }'));
write('rooms/card.yaml', room('builtin: {}'));

/** Open strings, then one fret on each; each note 1.2 s, the fretted ones by their finger. */
const ALL = [
  [E1, 0],
  [A1, 0],
  [D2, 0],
  [G2, 0],
  [E1, 3],
  [A1, 4],
  [D2, 1],
  [G2, 4],
];
const EVERY = 1_700;
const tune = ALL.flatMap(([string, fret], i) => {
  const at = 1_200 + EVERY * i;
  return plucked(string, fret, at, at + 1_200);
});
const TUNE_MS = 1_000 + EVERY * ALL.length;
/** A note that sounds for as long as its finger stays, which is for ever. */
const held = (string, fret) => plucked(string, fret, 700, 1e6);
const HELD_MS = 1_900;

/** Tells a service to end and says how long that took and how it ended. */
async function stop(child) {
  const asked = performance.now();
  child.kill('SIGTERM');
  const code = await child.ended;
  return { code, ms: performance.now() - asked, output: child.output };
}

await main(async () => {
  const synth = await startSynth();
  let board = touchboard('board');
  await portOf('touchboard', PATIENCE);

  // A port of our own, to which somebody joins the synthesizer.
  let playing = await service('own', 'play', 'own', '--record', `${FOLDER}/kept`);
  joinPorts(await portOf('pluckwork', PATIENCE), synth.port);
  await said(playing, 'touchboard-pads" is open');
  // The sounds go out at the look after the join.
  await sleep(1_500);
  let recorder = await record('own');
  await board.play(tune, TUNE_MS);
  await board.play(held(A1, 2), HELD_MS);
  const own = await stop(playing);
  await sleep(1_500);
  await recorder.stop();
  // Links as they are: what they lead to is read on another machine.
  cpSync(FOLDER, '/out/hall', { recursive: true, verbatimSymlinks: true });

  // The synthesizer's port by part of its name; the board's cable is pulled while a note sounds.
  playing = await service('named', 'play', 'named');
  await said(playing, 'touchboard-pads" is open');
  await until('the join', () => /FLUID Synth[^]*?Connected From/.test(aconnectList()), PATIENCE);
  recorder = await record('named');
  await board.play(held(E1, 4), HELD_MS);
  const pulled = performance.now();
  await end(board.process);
  await said(playing, 'touchboard-pads" has gone');
  const toldAfter = performance.now() - pulled;
  await sleep(1_500);
  board = touchboard('board-again');
  await said(playing, 'touchboard-pads" is open again');
  await board.play([...plucked(D2, 3, 1_200, 2_200), ...plucked(G2, 0, 2_700, 0)], 4_500);
  const named = await stop(playing);
  await sleep(1_000);
  await recorder.stop();
  await end(synth.process);

  // The built-in engine on this machine's sound card.
  const card = 'pcm.!default { type plug slave.pcm "hw:1,0" }\nctl.!default { type hw card 1 }\n';
  writeFileSync('/root/.asoundrc', card);
  playing = await service('card', 'play', 'card');
  await said(playing, 'touchboard-pads" is open');
  // This slow machine needs long blocks, and the engine finds out how long while it plays.
  await board.play(tune, TUNE_MS);
  recorder = await record('card');
  await board.play(tune, TUNE_MS);
  await board.play(held(D2, 2), HELD_MS);
  const built = await stop(playing);
  await sleep(1_000);
  await recorder.stop();

  report('service', { own, named, built, toldAfter });
});
