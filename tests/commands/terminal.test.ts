import { afterAll, afterEach, describe, expect, it, vi } from 'vitest';
import { formatTakeLine } from '../../src/takes/take.js';
import { freePort } from '../engines/csound-process.js';
import { stepping } from '../ports/logic/modules.js';
import { board, closeSockets } from './osc-hands.js';
import { ringing } from './performance.js';
import { endPrograms, run, start, workFolder } from './program.js';

// Each starts the program several times, which takes seconds where the machine is busy.
vi.setConfig({ testTimeout: 180_000 });

const folder = workFolder();
afterEach(() => {
  endPrograms();
  closeSockets();
});
afterAll(folder.remove);

/** A title, a cleared screen, the same by C1, an order of letters turned round, and a letter that is not there. */
const EVIL = 'b\x1b]0;owned\x07\x1b[2J\u009b31mc\u202ed\u200be';
const HARMFUL = /[^\n\P{Cc}]|[\u202a-\u202e\u2066-\u2069\u200b]/u;

function expectPlain(...texts: readonly string[]): void {
  for (const text of texts) expect(text).not.toMatch(HARMFUL);
}

const scans = [...ringing()].map(formatTakeLine);
const take = (header: object): string =>
  [JSON.stringify({ take: 1, inputs: 20, full: 16_383, ...header }), ...scans, ''].join('\n');

describe('what strangers wrote does not reach the terminal as they wrote it', () => {
  it('in a word of the command line, nor in a name of a file', async () => {
    for (const args of [
      [EVIL],
      ['play', EVIL],
      ['rerun', `${EVIL}.jsonl`],
      ['play', `--${EVIL}`],
    ]) {
      const { code, out, err } = await run(args, folder.path);
      expect(code, err).toBeGreaterThan(0);
      expect(err).toContain('owned');
      expectPlain(out, err);
    }
  });

  it('in what a take names, in words and in JSON', async () => {
    folder.write('names.jsonl', take({ instrument: EVIL }));
    folder.write('odd.jsonl', `${take({ instrument: 'bass-4x4' })}"${EVIL}"\n`);
    for (const more of [[], ['--log', 'json']]) {
      for (const name of ['names.jsonl', 'odd.jsonl']) {
        const { out, err } = await run(['rerun', name, ...more], folder.path);
        expect(err).not.toBe('');
        expectPlain(out, err);
        if (more.length > 0) expect(JSON.parse(err.split('\n')[0]!)).toHaveProperty('msg');
      }
    }
  });

  it('in a control message, a name that a board sends, and the file of an instrument', async () => {
    const [port, control] = [await freePort(), await freePort()];
    folder.write(
      'rooms/hall.yaml',
      `control: { osc: ${String(control)}, host: 127.0.0.1 }
seats:
  - { name: north, instrument: bass-4x4, from: { osc: ${String(port)} } }
to:
  - osc: { host: 127.0.0.1, port: ${String(await freePort())} }
`,
    );
    const program = start(['play', 'hall'], folder.path);
    await program.saw(/Playing/);
    (await board(port)).send('/pad', EVIL, 0, 0);
    await program.saw(/calls itself/);
    (await board(control)).send('/seat/level', `${EVIL}\nerror: all is lost`, 1);
    await program.saw(/changes nothing/);
    program.signal('SIGINT');
    const { out, err } = await program.ended;
    expectPlain(out, err);
    expect(err).not.toMatch(/^error: all is lost/m);

    folder.write('instruments/odd.yaml', `name: ${JSON.stringify(EVIL)}\nkind: nonsense\n`);
    folder.write(
      'rooms/odd.yaml',
      'seats:\n  - { name: north, instrument: odd, from: { player: demo } }\nto: [{ builtin: {} }]\n',
    );
    const refused = await run(['play', 'odd'], folder.path);
    expect(refused.code).toBe(1);
    expectPlain(refused.err);
  });

  it('when a module of own logic prints, and it cannot print without end', async () => {
    const body = `  for (let n = 0; n < 10; n++) console.log(${JSON.stringify(EVIL)}, n);\n  return { state, out: [] };`;
    folder.write('rules/chatty.ts', stepping(body));
    folder.write('rules/chatty.yaml', 'logic: chatty.ts\n');
    const many = Array.from({ length: 40 }, (_, n) =>
      [...ringing()].map((scan) => formatTakeLine({ ...scan, t: scan.t + n * 1_000_000 })),
    );
    const header = JSON.stringify({ take: 1, inputs: 20, full: 16_383, instrument: 'bass-4x4' });
    folder.write('long.jsonl', [header, ...many.flat(), ''].join('\n'));
    const { code, out, err } = await run(['rerun', 'long.jsonl', '--rules', 'chatty'], folder.path);
    expect(code, err).toBe(0);
    expect(err).toContain('owned');
    expectPlain(out, err);
    expect(err.split('\n').length).toBeLessThan(700);
  });
});
