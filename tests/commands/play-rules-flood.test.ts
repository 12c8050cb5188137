import { createSocket } from 'node:dgram';
import { once } from 'node:events';
import { readFileSync } from 'node:fs';
import { afterAll, afterEach, expect, it } from 'vitest';
import { encodeOsc } from '../../src/wire/osc-codec.js';
import { freePort } from '../engines/csound-process.js';
import { sounding } from '../ports/logic/modules.js';
import { endPrograms, start, workFolder } from './program.js';

const folder = workFolder();
afterEach(endPrograms);
afterAll(folder.remove);

const status = (pid: number, key: string): number => {
  const text = readFileSync(`/proc/${String(pid)}/status`, 'utf8');
  return Number(new RegExp(`^${key}:\\s+(\\d+)`, 'm').exec(text)?.[1]);
};

it('rules asked for 2,000 times a second take few threads and little memory, and the last ones are played by', async () => {
  const [control, board] = [await freePort(), await freePort()];
  const names = ['amber', 'beech', 'cedar', 'dogwood', 'elm', 'fir', 'gorse', 'hazel'];
  for (const [n, name] of names.entries()) {
    folder.write(`rules/${name}.ts`, sounding(40 + n));
    folder.write(`rules/${name}.yaml`, `logic: ${name}.ts\n`);
  }
  folder.write(
    'rooms/hall.yaml',
    `control: { osc: ${String(control)}, host: 127.0.0.1 }
seats:
  - { name: north, instrument: bass-4x4, from: { osc: ${String(board)} } }
  - { name: south, instrument: bass-4x4, from: { osc: ${String(board)} } }
to:
  - osc: { host: 127.0.0.1, port: ${String(await freePort())} }
`,
  );
  const program = start(['play', 'hall', '--quiet'], folder.path);
  await program.saw(/Playing/);
  const before = status(program.pid, 'Threads');
  const socket = createSocket('udp4');
  const ask = (seat: string, name: string): void => {
    const args = [seat, name].map((value) => ({ type: 's', value }));
    socket.send(encodeOsc({ address: '/rules', args }), control, '127.0.0.1');
  };
  let [threads, rss, sent] = [0, 0, 0];
  const begun = performance.now();
  while (performance.now() - begun < 6_000) {
    for (const due = (performance.now() - begun) * 2; sent < due; sent++) {
      ask(sent % 2 === 0 ? 'north' : 'south', names[sent % names.length]!);
    }
    await new Promise((done) => setTimeout(done, 10));
    threads = Math.max(threads, status(program.pid, 'Threads'));
    rss = Math.max(rss, status(program.pid, 'VmRSS'));
  }
  // Once the flood is over there is room for one that is heard for certain.
  await new Promise((done) => setTimeout(done, 2_500));
  ask('north', 'plain');
  await program.saw(/Plays by the rules plain now/);
  socket.close();
  await once(socket, 'close');
  expect(program.err).toMatch(
    /Plays by the rules (amber|beech|cedar|dogwood|elm|fir|gorse|hazel) now/,
  );
  // A thread for each module and each seat, and esbuild's own.
  expect(threads - before).toBeLessThan(20);
  expect(rss).toBeLessThan(300_000);
  expect(program.err.split('\n').length).toBeLessThan(80);
  program.signal('SIGINT');
  expect((await program.ended).code).toBe(0);
}, 180_000);
