// Notes through the MIDI engine to a real synthesizer, and what it plays recorded to sound.wav.
import { midiEngine } from '../../../dist/ports/midi/ports.js';
import {
  address,
  aconnectList,
  end,
  joinPorts,
  main,
  portOf,
  report,
  sleep,
  until,
} from './helpers.mjs';
import { record, startSynth } from './synth.mjs';

const seats = [{ name: 'north', kind: 'strings', sound: 34, level: 1, pan: 0, strings: 4 }];
/** E1 A1 D2 G2. */
const NOTES = [28, 33, 38, 43];

const told = [];
const tell = (notice) => told.push(notice);
let t = 1;
let voice = 1;

async function play(engine, note) {
  const base = { seat: 0, note, string: 0, voice: voice++ };
  engine.send({ ...base, type: 'on', t: t++, velocity: 110, strength: 0.8, fret: 0, how: 'pluck' });
  await sleep(900);
  engine.send({ ...base, type: 'off', t: t++, slurred: false });
  await sleep(300);
}

await main(async () => {
  let synth = await startSynth();
  // A port of our own, joined to the synthesizer by somebody else.
  const own = midiEngine({ seats, target: { virtual: 'pluckwork' }, channels: 'seat', tell });
  joinPorts(await portOf('pluckwork'), synth.port);
  // The sounds go out at the look after the join.
  await sleep(1_500);
  let recorder = await record('own');
  for (const note of NOTES) await play(own, note);
  await own.close();
  await sleep(500);
  await recorder.stop();
  const goneAfterClose = address('pluckwork') === undefined;

  // The synthesizer's port by name; it is ended, started again, and taken up again.
  const named = midiEngine({ seats, target: { port: 'fluid' }, channels: 'string', tell });
  const joined = (list) => /FLUID Synth[\s\S]*?Connected From/.test(list);
  await until('the join by name', () => joined(aconnectList()));
  await end(synth.process);
  await until('the notice', () => told.some(({ what }) => what.includes('has gone')));
  synth = await startSynth();
  await until('the second join', () => told.some(({ what }) => what.includes('open again')));
  recorder = await record('named');
  await play(named, 40);
  // Left on, so that closing has something to silence.
  named.send({
    type: 'on',
    t: t++,
    voice: voice++,
    seat: 0,
    note: 31,
    velocity: 110,
    strength: 0.8,
    string: 3,
    fret: 3,
    how: 'pluck',
  });
  await sleep(900);
  await named.close();
  const closed = performance.now();
  await sleep(1_200);
  await recorder.stop();
  report('sound', { goneAfterClose, told, tail: (performance.now() - closed) / 1_000 });
});
