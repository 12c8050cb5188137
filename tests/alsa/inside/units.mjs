// Units with one port name, plugged in and pulled, through the whole service to a synthesizer: first
// USB boards with serial numbers, then ports of programs, which nothing tells apart. Writes what
// happened, and the sound, for units.test.ts.
import { execFileSync } from 'node:child_process';
import { cpSync, readFileSync } from 'node:fs';
import { aconnectList, end, main, portOf, report, sleep, until } from './helpers.mjs';
import { gadget } from './gadget.mjs';
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

// Boards stop sending with a finger down here, until their cables are pulled.
const seat = (name, midi, pan) => `
  - name: ${name}
    steady: false
    instrument: bass-4x4
    from: { midi: ${midi}, as: frames }
    rules: hall
    pan: ${pan}`;
const room = (midi) => `seats:${seat('north', midi, -1)}${seat('south', midi, 1)}
to:
  - midi: { port: FLUID, channels: seat }
`;
write('rules/hall.yaml', 'name: hall\nstrings: { ring: 1200ms }\n');
write('rooms/hall.yaml', room('Paperboard'));
write('rooms/twins.yaml', room('touchboard'));

/** One touch on a pad, after the board has been at rest for a second. */
const TOUCH = [{ pad: 16, at: 1_000_000, until: 1_200_000, strength: 0.9 }];
const touch = (board) => board.play(TOUCH, 1_600);
/** A note for as long as its finger stays, which is for ever. */
const held = (string, fret) => plucked(string, fret, 1_300, 1e6);
/** One note after the other, 1.2 s each. */
const tune = (...notes) =>
  notes.flatMap(([string, fret], i) => {
    const at = 1_200 + 1_700 * i;
    return plucked(string, fret, at, at + 1_200);
  });
const play = (board, ...notes) => board.play(tune(...notes), 1_200 + 1_700 * notes.length);

const open = (times) => `Paperboard MIDI 1" is open (serial P-${times}`;
const again = (serial) => `Paperboard MIDI 1" is open again (serial ${serial}`;
const GONE = 'has gone';
/** How many of the boards' ports the system has. */
const boards = () =>
  readFileSync('/proc/asound/seq/clients', 'utf8').split('"Paperboard MIDI 1"').length - 1;
/** How many ports of a name are joined to somebody. */
const listenedTo = (name) =>
  aconnectList().split(new RegExp(`'${name} *'\\n\\tConnecting To`)).length - 1;
const count = (child, words) => child.output.split(words).length - 1;

/** Pulls a cable; says how many ms later that was told. */
async function pull(child, unplug) {
  const before = count(child, GONE);
  const pulled = performance.now();
  await unplug();
  await said(child, GONE, before + 1);
  return performance.now() - pulled;
}

async function stop(child) {
  child.kill('SIGTERM');
  return { code: await child.ended, output: child.output };
}

await main(async () => {
  const toldAfter = [];
  const upAfter = [];
  /** Plugs a board in; keeps how long after the system had its port the service had it. */
  const timed = async (child, serial, plug) => {
    const before = count(child, again(serial));
    await plug();
    await until('both boards', () => boards() === 2, PATIENCE);
    const there = performance.now();
    await said(child, again(serial), before + 1);
    upAfter.push(performance.now() - there);
  };
  const synth = await startSynth();
  const first = gadget('first', { product: 'Paperboard', serial: 'P-0001' });
  const second = gadget('second', { product: 'Paperboard', serial: 'P-0002' });
  await first.plug(0);
  await second.plug(1);
  await portOf('Paperboard MIDI 1', PATIENCE);
  await until('two boards', () => aconnectList().split('Paperboard MIDI 1').length === 3);
  const list = aconnectList();
  const args = ['dist/commands/main.js', 'ports'];
  const ports = execFileSync(process.execPath, args, { encoding: 'utf8' });

  // The second one is touched first, so it is north's.
  let playing = await service('hall', 'play', 'hall');
  await said(playing, 'nothing tells');
  await Promise.all([touch(second), first.play([], 1_600)]);
  await said(playing, open('0002'));
  await said(playing, open('0001'));
  await until('the join', () => /FLUID Synth[^]*?Connected From/.test(aconnectList()), PATIENCE);
  let recorder = await record('both');
  await play(second, [E1, 0], [A1, 0]);
  await play(first, [D2, 0], [G2, 0]);
  await Promise.all([play(second, [E1, 3]), play(first, [G2, 4])]);
  await recorder.stop();

  // Both hold a note; one cable after the other is pulled.
  recorder = await record('pulled');
  await Promise.all([second.play(held(E1, 4), 2_500), first.play(held(D2, 3), 2_500)]);
  toldAfter.push(await pull(playing, () => second.unplug()));
  await sleep(1_500);
  toldAfter.push(await pull(playing, () => first.unplug()));
  await sleep(1_500);
  // In each other's sockets, in another order; then one of them in a third one.
  await second.plug(0);
  await said(playing, again('P-0002'));
  await timed(playing, 'P-0001', () => first.plug(1));
  await Promise.all([play(second, [A1, 2]), play(first, [D2, 0])]);
  toldAfter.push(await pull(playing, () => second.unplug()));
  await timed(playing, 'P-0002', () => second.plug(2));
  await play(second, [G2, 0]);
  // A bad contact: gone and back between two looks.
  await timed(playing, 'P-0001', () => {
    first.unplug();
    return first.plug(1);
  });
  await play(first, [E1, 0]);
  await recorder.stop();
  const hall = await stop(playing);
  if (synth.process.exitCode !== null)
    throw new Error(`the synthesizer ended: ${synth.process.output}`);
  cpSync(`${FOLDER}/units.jsonl`, '/out/units.jsonl');

  // On the next day, the boards are where they are.
  playing = await service('next', 'play', 'hall');
  await said(playing, open('0002'));
  await said(playing, open('0001'));
  // What is touched while a unit still watches how its pads rest is no note: wait as a person does.
  await Promise.all([first, second].map((board) => board.play([], 1_600)));
  await until(
    'both to be ready',
    () =>
      /north (and south are|is) ready/.test(playing.output) &&
      /south (is|are) ready/.test(playing.output),
    PATIENCE,
  );
  await Promise.all([play(first, [A1, 0]), play(second, [G2, 2])]);
  const next = await stop(playing);
  // Programs' ports: only a touch tells. The second one is north's again.
  let one = touchboard('one');
  let two = touchboard('two');
  await until('two ports', () => aconnectList().split(`'touchboard-pads`).length === 3, PATIENCE);
  playing = await service('twins', 'play', 'twins');
  await said(playing, 'nothing tells');
  await Promise.all([touch(two), one.play([], 1_600)]);
  await said(playing, 'touchboard-pads" is open', 2);
  await Promise.all([play(two, [E1, 1]), play(one, [G2, 1])]);
  // One is pulled and comes back: there is only its seat.
  toldAfter.push(await pull(playing, () => end(two.process)));
  two = touchboard('two-again');
  await said(playing, 'touchboard-pads" is open again');
  await play(two, [E1, 2]);
  toldAfter.push(await pull(playing, () => end(one.process)));
  one = touchboard('one-again');
  await said(playing, 'touchboard-pads" is open again', 2);
  await play(one, [G2, 2]);
  // Both are pulled: a touch tells again.
  await Promise.all([end(one.process), end(two.process)]);
  await said(playing, GONE, 4);
  one = touchboard('one-last');
  two = touchboard('two-last');
  await said(playing, 'nothing tells', 2);
  await until('the service to listen to both', () => listenedTo('touchboard-pads') === 2, PATIENCE);
  await Promise.all([touch(two), one.play([], 1_600)]);
  await said(playing, 'touchboard-pads" is open again', 4);
  await Promise.all([play(two, [E1, 3]), play(one, [G2, 3])]);
  const twins = await stop(playing);
  await end(synth.process);
  report('units', { list, ports, toldAfter, upAfter, hall, next, twins });
});
