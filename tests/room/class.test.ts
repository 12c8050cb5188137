import { expect, it } from 'vitest';
import { midiEncoder } from '../../src/engine/midi.js';
import { soundOf } from '../../src/engine/seat-sound.js';
import { way } from '../../src/pipeline.js';
import type { Change } from '../../src/room/change.js';
import type { Mix, VoiceEvent } from '../../src/room/voice.js';
import { notesOf } from '../../src/takes/read-notes.js';
import { score } from '../../src/score/score.js';
import type { Seated } from '../../src/time/alongside.js';
import { NEVER, SECOND, type Micros } from '../../src/time/micros.js';
import type { WireEvent } from '../../src/wire/scan.js';
import { MidiReceiver } from '../engine/midi-receiver.js';
import { randomOf } from '../sim/random.js';
import { classOf, classReadings } from './class.js';
import { roomOf } from './rooms.js';

/** Set the variable to try another one. */
const SEED = Number(process.env['PLUCKWORK_SEED'] ?? 1);
const LENGTH: Micros = 600 * SECOND;
/** A voice a seat: the room is full again and again. */
const VOICES = 32;

/** Now and then somebody at the desk changes something. No mute: every note shall be heard. */
function changeAt(t: Micros, seats: number): Change {
  const random = randomOf(SEED, `change/${String(t)}`);
  if (random.chance(0.1)) return { type: 'room-change', t, duck: random.between(0, 12) };
  const seat = Math.floor(random.next() * seats);
  const one = random.pick(['level', 'pan', 'sound', 'lead'] as const);
  return {
    type: 'seat-change',
    t,
    seat,
    ...(one === 'level' ? { level: random.between(0.2, 1) } : {}),
    ...(one === 'pan' ? { pan: random.between(-1, 1) } : {}),
    ...(one === 'sound' ? { sound: random.pick([1, 5, 13, 25, 34, 41, 74, 75]) } : {}),
    ...(one === 'lead' ? { lead: random.chance(0.3) } : {}),
  };
}

/** The amplitude of a velocity by the square law over 60 dB (Dannenberg, ICMC 2006), in dB. */
function decibels(velocity: number): number {
  const b = 127 / (126 * Math.sqrt(1_000)) - 1 / 126;
  return 40 * Math.log10(((1 - b) / 127) * velocity + b);
}

it(`a class of 32 plays ten minutes through one speaker (seed ${String(SEED)})`, () => {
  const pupils = classOf('clean', SEED);
  const seats = pupils.map(({ plan: { instrument } }, i) =>
    soundOf(
      { name: `seat ${String(i + 1)}`, level: 0.5 + (i % 5) / 10, pan: 0, sound: null },
      instrument,
    ),
  );
  const room = roomOf(32, { voices: VOICES, duck: 9 }, { ...seats });
  const faults: unknown[] = [];
  const stage = way(
    pupils.map(({ plan }) => plan),
    room,
    (_seat, _t, error) => faults.push(error),
  );
  const encoder = midiEncoder({ seats, channels: 'seat' });
  const midi = encoder.begin();
  const receiver = new MidiReceiver();
  for (const bytes of encoder.opening) receiver.receive(bytes);

  const heard: VoiceEvent[][] = seats.map(() => []);
  const now: Pick<Mix, 'level' | 'sound'>[] = seats.map(({ level, sound }) => ({ level, sound }));
  const seen = { notes: 0, full: 0, wrongProgram: 0, wrongChannel: 0, wrongLevel: 0, over: 0 };
  let open = 0;

  /** Each note as the synthesizer gets it: on its seat's program, at its seat's level. */
  function hear(event: VoiceEvent): void {
    if (event.type === 'mix') now[event.seat] = event;
    if (event.type !== 'silence') heard[event.seat]!.push(event);
    if (event.type === 'off') open--;
    if (event.type === 'on') {
      if (open++ === VOICES) seen.over++;
      if (open === VOICES) seen.full++;
    }
    for (const { bytes } of encoder.step(midi, event).out) {
      const note = receiver.receive(bytes);
      if (note === null || event.type !== 'on') continue;
      seen.notes++;
      const { channel, velocity } = note;
      const { level, sound } = now[event.seat]!;
      if ((channel === 9) !== (seats[event.seat]!.kind === 'hits')) seen.wrongChannel++;
      if (channel !== 9 && receiver.programs[channel] !== sound - 1) seen.wrongProgram++;
      const volume = 40 * Math.log10(receiver.volumes[channel]! / 127);
      const wanted = 20 * Math.log10(level) + decibels(event.velocity);
      // Half a step of velocity is up to 0.7 dB where notes are as soft as 10.
      if (Math.abs(volume + decibels(velocity) - wanted) > 1) seen.wrongLevel++;
    }
  }

  let state: unknown = stage.begin();
  let wake = NEVER;
  function step(event: Seated<WireEvent> | Change | { type: 'wake'; t: Micros }): void {
    const outcome = stage.step(state, event);
    state = outcome.state;
    wake = outcome.wake;
    outcome.out.forEach(hear);
  }
  function feed(event: Seated<WireEvent> | Change): void {
    while (wake <= event.t) step({ type: 'wake', t: wake });
    step(event);
  }

  let change = SECOND;
  for (const reading of classReadings(pupils, LENGTH)) {
    for (; change <= reading.t; change += SECOND / 2) feed(changeAt(change, seats.length));
    feed(reading);
  }
  for (const seat of seats.keys()) {
    feed({ type: 'seated', t: LENGTH, seat, event: { type: 'reset', t: LENGTH, why: 'end' } });
  }

  expect(faults).toEqual([]);
  expect(open).toBe(0);
  expect([...receiver.sounding]).toEqual([]);
  let notes = 0;
  for (const [seat, { wanted }] of pupils.entries()) {
    const { missed, added, f } = score(wanted, notesOf(heard[seat]!));
    expect({ seat, missed, added, f }).toEqual({ seat, missed: [], added: [], f: 1 });
    notes += wanted.length;
  }
  expect(notes).toBeGreaterThan(60_000);
  expect(seen.full).toBeGreaterThan(1_000);
  expect(seen).toMatchObject({ notes, wrongProgram: 0, wrongChannel: 0, wrongLevel: 0, over: 0 });
}, 900_000);
