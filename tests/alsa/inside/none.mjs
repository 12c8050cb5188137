// What happens where there is no ALSA: run with an empty /dev/snd. It must end by itself.
import { writeFileSync } from 'node:fs';
import { liveClock } from '../../../dist/ports/live-clock.js';
import { listMidiPorts, midiEngine, midiSource } from '../../../dist/ports/midi/ports.js';

const told = [];
const tell = (notice) => told.push(notice);
const events = [];
const list = listMidiPorts();
const seats = [{ seat: 0, seatName: 'north', from: { midi: 'paperboard' }, as: 'pressure' }];
const source = midiSource({ seats, clock: liveClock(), tell });
source.events.subscribe((event) => events.push(event));
const sounds = [{ name: 'north', sound: 34, level: 1, strings: 4 }];
const engine = midiEngine({ seats: sounds, target: { port: 'FLUID' }, channels: 'seat', tell });
engine.send({
  type: 'on',
  t: 1,
  voice: 1,
  seat: 0,
  note: 28,
  velocity: 96,
  strength: 0.7,
  string: 3,
  fret: 0,
  how: 'pluck',
});
// Two looks.
await new Promise((resolve) => setTimeout(resolve, 2_500));
await engine.close();
await source.close();
writeFileSync('/out/none.json', JSON.stringify({ list, told, events }));
