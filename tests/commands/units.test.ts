import { readFileSync } from 'node:fs';
import { join } from 'node:path';
import { afterAll, afterEach, describe, expect, it } from 'vitest';
import { endPrograms, start, workFolder, type Ended } from './program.js';

const folder = workFolder();
afterEach(endPrograms);
afterAll(folder.remove);

const line = (seat: string, serial: string): string =>
  JSON.stringify({
    seat,
    port: 'Paperboard:Paperboard MIDI 1',
    usb: '1209:a1b2',
    serial,
    socket: '0000:00:14.0/2',
    midi: '0:0',
  });

/** Plays a room with a seat on a port that is nowhere, until it says so, and ends. */
async function played(units: string, ...args: string[]): Promise<Ended> {
  folder.write('units.jsonl', units);
  folder.write(
    'rooms/hall.yaml',
    `seats:
  - { name: north, instrument: bass-4x4, from: { midi: paperboard, as: frames } }
to:
  - osc: { host: 127.0.0.1, port: 9 }
`,
  );
  const program = start(['play', 'hall', ...args], folder.path);
  await program.saw(/Playing/);
  program.signal('SIGINT');
  return program.ended;
}

const kept = (): string => readFileSync(join(folder.path, 'units.jsonl'), 'utf8');

describe('which unit plays at which seat, kept in a file', () => {
  it('is left as it is by a room whose units are away', async () => {
    const units = `${line('north', 'P-1')}\n${line('attic', 'P-2')}\n`;
    await played(units);
    expect(kept()).toBe(units);
  });

  it('is forgotten for the seats of the room, when asked to', async () => {
    await played(`${line('north', 'P-1')}\n${line('attic', 'P-2')}\n`, '--forget-units');
    expect(kept()).toBe(`${line('attic', 'P-2')}\n`);
  });

  it('is played without, where the file is damaged, and that is told', async () => {
    const { err } = await played('{"seat":"north","port":');
    expect(err).toMatch(/warning: a line is damaged and passed over \(units\.jsonl:1\)/);
  });
});
