import { Subject } from 'rxjs';
import { liveClock } from '../../../src/ports/live-clock.js';
import { midiReader } from '../../../src/ports/midi/reader.js';
import { startService } from '../../../src/ports/service.js';
import { plainRoom } from '../../../src/room/plan.js';
import type { Seated } from '../../../src/time/alongside.js';
import { MIDI_WIRES, midiWire } from '../../../src/wire/midi-wires.js';
import type { WireEvent } from '../../../src/wire/scan.js';
import { bassPlan } from '../../support/bass.js';
import { lateTimers } from '../../support/late-timers.js';
import { promises } from '../room/promises.js';
import { Account, type Feed } from './fed.js';
import { midiBytes, numbersOf } from './midi-bytes.js';

/** After so many pieces every board goes away, and nothing may sound. */
const PIECES = 5_000;

/**
 * Feeds bytes to a seat on each MIDI wire: parser, codec, the whole way and an engine that holds all of it
 * to its promises. Time goes by on a clock of its own.
 */
export const feedMidi: Feed = async (seed, count, progress) => {
  const account = new Account(count, progress);
  const random = numbersOf(seed);
  const timers = lateTimers(random);
  const clock = liveClock(timers);
  const room = { ...plainRoom(MIDI_WIRES.length), voices: 16 };
  const plans = MIDI_WIRES.map((wire) => {
    const { full } = midiWire(wire);
    return { ...bassPlan(), pads: { ...bassPlan().pads, full, decided: wire === 'notes' } };
  });
  const kept = promises(
    room,
    plans.map(({ rules }) => rules.voices.most),
  );
  const boards = MIDI_WIRES.map(() => new Subject<Seated<WireEvent>>());
  const service = startService({
    seats: plans.map((plan, i) => ({ name: MIDI_WIRES[i]!, plan })),
    room,
    clock,
    engines: [kept.engine],
    sources: boards.map((events) => ({ events, close: () => Promise.resolve() })),
    tell: ({ level, what }) => {
      if (level === 'error') kept.fail(what);
    },
  });
  const enter = (seat: number, event: WireEvent): void => {
    boards[seat]!.next({ type: 'seated', t: event.t, seat, event });
  };
  const wires = MIDI_WIRES.map((wire, seat) => ({
    next: midiBytes(midiWire(wire), random),
    reader: midiReader(wire, clock, (scan) => {
      account.add(`${wire}: scans`);
      enter(seat, { ...scan, t: clock.stamp(scan.t) });
    }),
  }));

  for (let piece = 0; account.left > 0 && kept.broken() === null; piece++) {
    const seat = piece % wires.length;
    const { next, reader } = wires[seat]!;
    const bytes = next().subarray(0, account.left);
    timers.run(timers.now() + 5 * random());
    account.feed(bytes.length, `seed ${String(seed)}, piece ${String(piece)}`, () => {
      reader.take(bytes);
    });
    if (piece % PIECES !== PIECES - 1) continue;
    for (const own of boards.keys()) enter(own, { type: 'reset', t: clock.stamp(), why: 'lost' });
    kept.still(() => true);
    await new Promise((resolve) => setImmediate(resolve));
  }
  for (const { reader } of wires) reader.close();
  await service.stop();
  kept.still(() => true);
  const broken = kept.broken();
  if (broken !== null) account.fail(`seed ${String(seed)}: ${broken}`);
  for (const [how, notes] of kept.notes) account.add(`notes by ${how}`, notes);
  return account.end();
};
