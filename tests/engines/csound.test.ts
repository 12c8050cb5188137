import { setTimeout as pass } from 'node:timers/promises';
import { afterEach, describe, expect, it } from 'vitest';
import { PLAIN } from '../../src/engine/osc-messages.js';
import type { Engine } from '../../src/ports/contracts.js';
import { liveClock } from '../../src/ports/live-clock.js';
import { oscEngine } from '../../src/ports/osc/engine.js';
import type { VoiceOff, VoiceOn } from '../../src/room/voice.js';
import { startCsound } from './csound-process.js';
import { rmsOfLast, stretchesIn } from './heard.js';
import { seatSound } from '../support/seat-sound.js';

// A real OSC synthesizer plays what it is sent; what it played is measured by other programs. The
// waits are the length of what is played: everything else waits for a message or an exit.

const open: (() => Promise<void>)[] = [];
afterEach(async () => {
  for (const close of open.splice(0).reverse()) await close();
});

const clock = liveClock();
const seats = [seatSound({ name: 'north', sound: 34, level: 1, strings: 4 })];
let voice = 0;

async function start() {
  const csound = await startCsound();
  open.push(csound.remove);
  const notices: string[] = [];
  const engine = (ahead: number | null = null): Engine => {
    const made = oscEngine({
      seats,
      host: '127.0.0.1',
      port: csound.port,
      messages: PLAIN,
      ahead,
      clock,
      tell: ({ what }) => notices.push(what),
    });
    open.push(() => made.close());
    return made;
  };
  return { csound, engine, notices };
}

function on(note: number, string = 0): VoiceOn {
  const t = clock.stamp();
  voice++;
  return {
    type: 'on',
    t,
    voice,
    seat: 0,
    note,
    velocity: 100,
    strength: 0.8,
    string,
    fret: 0,
    how: 'pluck',
  };
}
const off = ({ voice, seat, note, string }: VoiceOn): VoiceOff => ({
  type: 'off',
  t: clock.stamp(),
  voice,
  seat,
  note,
  string,
  slurred: false,
});

describe('Csound with config/engines/plucked.csd', () => {
  it('plays the pitches of a bass, and each as long as its voice', async () => {
    const { csound, engine, notices } = await start();
    const sent = engine();
    // E1 A1 D2 G2 open, then fret 1 of E, 2 of A, 3 of D and 4 of G.
    const notes = [28, 33, 38, 43, 29, 35, 41, 47];
    for (const note of notes) {
      const begun = on(note);
      sent.send(begun);
      await pass(600);
      sent.send(off(begun));
      await pass(500);
    }
    await csound.stop();

    const heard = stretchesIn(csound.wav);
    // facts.md: E1 A1 D2 G2 are 41.2034, 55.0000, 73.4162, 97.9989 Hz; each fret is a semitone.
    const open = [41.2034, 55, 73.4162, 97.9989];
    const wanted = [...open, ...open.map((pitch, i) => pitch * 2 ** ((i + 1) / 12))];
    const cents = heard.map(({ pitch }, i) => 1_200 * Math.log2(pitch / wanted[i]!));
    expect(cents).toHaveLength(notes.length);
    for (const error of cents) expect(Math.abs(error)).toBeLessThan(50);
    // The release of 60 ms comes on top, and lateness where the machine is busy.
    for (const { from, to } of heard) expect(Math.abs(to - from - 0.63)).toBeLessThan(0.2);
    expect(notices).toEqual([]);
  });

  it('is quiet after a silence, whatever still rings', async () => {
    const { csound, engine } = await start();
    const sent = engine();
    for (const [string, note] of [28, 33, 38, 43].entries()) sent.send(on(note, string));
    await pass(800);
    sent.send({ type: 'silence', t: clock.stamp() });
    await pass(800);
    await csound.stop();
    expect(rmsOfLast(csound.wav, 1.4)).toBeGreaterThan(0.005);
    // Below one step of 16 bits.
    expect(rmsOfLast(csound.wav, 0.4)).toBeLessThan(1 / 32_768);
  });

  it('is quiet when all it heard of was the bare /silence message', async () => {
    const { csound, engine } = await start();
    engine().send(on(33));
    await pass(500);
    // Another engine knows of no voices, so it sends no offs before.
    engine().send({ type: 'silence', t: clock.stamp() });
    await pass(800);
    await csound.stop();
    expect(rmsOfLast(csound.wav, 1.2)).toBeGreaterThan(0.005);
    expect(rmsOfLast(csound.wav, 0.4)).toBeLessThan(1 / 32_768);
  });

  it('plays a bundle at the time of its tag', async () => {
    const { csound, engine } = await start();
    const [now, ahead] = [engine(), engine(600_000)];
    const [first, second] = [on(57), on(57)];
    now.send(first);
    ahead.send({ ...second, t: first.t });
    await pass(150);
    now.send(off(first));
    await pass(1_000);
    await csound.stop();
    const heard = stretchesIn(csound.wav);
    expect(heard).toHaveLength(2);
    const lead = heard[1]!.from - heard[0]!.from;
    // The dummy output works in blocks of 512 frames, 11 ms, and on a busy machine late.
    expect(Math.abs(lead - 0.6)).toBeLessThan(0.1);
  });
});
