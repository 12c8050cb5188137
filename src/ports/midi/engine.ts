import type { Engine, Tell } from '../contracts.js';
import type { MidiTarget } from './link.js';
import { midiSink, nameOf } from './sink.js';
import { midiSystem, type MidiSystem } from './system.js';
import type { Channels } from '../../engine/channels.js';
import type { MidiCeiling } from '../../instrument/ceiling.js';
import { CONTROLLER, control, type MidiBytes } from '../../engine/midi-bytes.js';
import { OPEN_MIDI } from '../../engine/midi-ceiling.js';
import type { PlanNote } from '../../engine/channel-notes.js';
import { midiEncoder, type MidiState } from '../../engine/midi.js';
import type { SeatSound } from '../../engine/seat-sound.js';
import type { VoiceEvent } from '../../room/voice.js';
import type { Wake } from '../../time/events.js';
import { NEVER, type Micros } from '../../time/micros.js';

export interface MidiEngineOptions {
  /** By slot; null where nobody plays. */
  readonly seats: readonly (SeatSound | null)[];
  readonly target: MidiTarget;
  readonly channels: Channels;
  /** What velocities and volumes stay below; left out: nothing. */
  readonly ceiling?: MidiCeiling;
  readonly tell: Tell;
  readonly system?: MidiSystem;
}

/**
 * An engine behind a MIDI port: a synthesizer, or whatever else understands MIDI 1.0.
 *
 * A synthesizer may still sound what it was sent before its cable was pulled, or by a program that was ended
 * without a word. So it is silenced as its port is opened or joins ours: All Notes Off, All Sound Off, and
 * first Reset All Controllers, since a pedal that is down holds notes through All Notes Off (Detailed
 * Specification p24-25). At a port of our own that is done only on channels on which nothing sounds, since
 * others that play on it go on.
 */
export function midiEngine({
  seats,
  target,
  channels,
  ceiling = OPEN_MIDI,
  tell,
  system = midiSystem(),
}: MidiEngineOptions): Engine {
  const name = nameOf(target);
  const encoder = midiEncoder({ seats, channels, ceiling });
  let state: MidiState = encoder.begin();
  let wake: Micros = NEVER;
  let latest: Micros = 0;
  let later: NodeJS.Immediate | undefined;

  const said = new Set<string>();
  function sayOnce(notes: readonly PlanNote[]): void {
    for (const note of notes) if (!said.has(note.what)) tell(note);
    for (const { what } of notes) said.add(what);
  }

  sayOnce(encoder.plan.notes);
  const told = new Map<number, string>();
  /** Each time a person chooses a sound that the channels cannot give. */
  function explain(seat: number): void {
    const note = encoder.misfitOf(state, seat);
    if (note && told.get(seat) !== note.what) tell(note);
    if (note) told.set(seat, note.what);
    else told.delete(seat);
  }

  function silence(): MidiBytes[] {
    const busy = new Set([...state.keys.values()].map((key) => key >> 7));
    const all = encoder.channelsOf(state);
    const silent = 'port' in target ? all : all.filter((channel) => !busy.has(channel));
    return [CONTROLLER.resetAll, CONTROLLER.allNotesOff, CONTROLLER.allSoundOff].flatMap(
      (controller) => silent.map((channel) => control(channel, controller, 0)),
    );
  }
  const opening = (): MidiBytes[] => [...silence(), ...encoder.again(state)];
  const sink = midiSink(target, tell, { where: name, opening, system });

  function step(event: VoiceEvent | Wake): void {
    const outcome = encoder.step(state, event);
    state = outcome.state;
    wake = outcome.wake;
    latest = event.t;
    for (const { bytes } of outcome.out) sink.send(bytes);
  }

  return {
    name,
    send(event) {
      clearImmediate(later);
      step(event);
      if (event.type === 'mix') explain(event.seat);
      else if (event.type === 'joined') sayOnce(encoder.notesOf(state, event.seat));
      else if (event.type === 'left') told.delete(event.seat);
      if (wake === NEVER) return;
      // The encoder waits for what follows in this very turn of the event loop, if it comes at all.
      later = setImmediate(() => {
        step({ type: 'wake', t: wake });
      });
    },
    close() {
      clearImmediate(later);
      step({ type: 'silence', t: Math.max(latest, wake === NEVER ? 0 : wake) });
      for (const bytes of encoder.closing(state)) sink.send(bytes);
      sink.close();
      return Promise.resolve();
    },
  };
}
