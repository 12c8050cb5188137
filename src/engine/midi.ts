import {
  allSettings,
  beginMix,
  channelFor,
  join,
  leave,
  misfit,
  remix,
  velocityFor,
  type ChannelMix,
} from './channel-mix.js';
import { playersOf } from './channel-moves.js';
import { describeJoin, describeMisfit, type PlanNote } from './channel-notes.js';
import { planChannels, type ChannelPlan, type Channels } from './channels.js';
import { CONTROLLER, control, noteOff, noteOn, type MidiBytes } from './midi-bytes.js';
import { OPEN_MIDI, underCeiling } from './midi-ceiling.js';
import type { SeatSound } from './seat-sound.js';
import type { MidiCeiling } from '../instrument/ceiling.js';
import type { Timed, Wake } from '../time/events.js';
import { NEVER, type Micros } from '../time/micros.js';
import type { Outcome, Stage } from '../time/stage.js';
import type { VoiceEvent, VoiceOff, VoiceOn } from '../room/voice.js';

/** One whole MIDI message, with its status byte (no running status). */
export interface MidiOut extends Timed {
  readonly type: 'midi';
  readonly bytes: MidiBytes;
}

export interface MidiState {
  /** What the channels are set to. */
  readonly mix: ChannelMix;
  /** The channel · 128 + note of each sounding voice. */
  readonly keys: Map<number, number>;
  /** How many voices sound on each channel · 128 + note. */
  readonly counts: Uint16Array;
  /** A slurred off that waits for the on which goes out before it. */
  slurred: VoiceOff | null;
  /** The block of channels for which the receiver is in MIDI mode 4; null: it is in mode 1. */
  mono: ChannelPlan['mono'];
  /** It is to leave mode 4 as soon as nothing sounds on those channels, since it would cut what does. */
  leavesMono: boolean;
}

export interface MidiEncoder extends Stage<MidiState, VoiceEvent, MidiOut> {
  readonly plan: ChannelPlan;
  /** Sent once before the first event: sounds, levels, pans and, for a single block, MIDI mode 4. */
  readonly opening: readonly MidiBytes[];
  /** The same as things are by now, for a receiver that comes back. */
  readonly again: (state: MidiState) => MidiBytes[];
  /** What a person should know of a seat whose sound was changed; null: it has that sound. */
  readonly misfitOf: (state: MidiState, seat: number) => PlanNote | null;
  /** What a person should know of the channels of a seat that has joined. */
  readonly notesOf: (state: MidiState, seat: number) => PlanNote[];
  /** All channels that have been in use. */
  readonly channelsOf: (state: MidiState) => readonly number[];
  /** Sent once after the last event: out of mode 4 again. */
  readonly closing: (state: MidiState) => readonly MidiBytes[];
}

/**
 * Turns voices into MIDI 1.0 messages (Detailed Specification 4.2.1).
 *
 * Velocity passes as it is, but where seats of different levels share a channel: its volume is the
 * loudest one's, and the velocities of the others are softer (see `softer`). Strength is not used. A
 * seat's new level, pan or sound becomes controller 7, controller 10 or a Program Change; of sounds
 * that differ on a shared channel see channel-moves. Where each string has its own channel, a slur
 * sends the second Note On before the first Note Off, at which a mono receiver changes pitch without
 * plucking again (p22); elsewhere off comes before on.
 *
 * MIDI cannot tell two voices of one note on one channel apart. Here the later one plucks it again
 * (Note Off, Note On), and the Note Off comes when the last of them ends: no note is cut short, and
 * on the wire every Note On has exactly one Note Off.
 *
 * Silence sends the Note Offs of all that still sounds, then 123 All Notes Off, which never stands
 * in for them (p24-25), then 120 All Sound Off, on every channel used.
 *
 * Who plays keeps its channels, whoever joins: a seat that does so gets free ones, or shares. For a second
 * seat the receiver leaves mode 4, in which it may hear one block only; as that would cut what sounds on the
 * block, it does so in a pause of its seat, and until then the second seat may not be heard.
 *
 * @param options.seats by slot as it begins; null where nobody plays
 * @param options.ceiling what velocities and volumes stay below; left out: nothing
 */
export function midiEncoder(options: {
  readonly seats: readonly (SeatSound | null)[];
  readonly channels: Channels;
  readonly ceiling?: MidiCeiling;
}): MidiEncoder {
  const { seats, ceiling = OPEN_MIDI } = options;
  const plan = planChannels(seats, options.channels);

  function start(state: MidiState, event: VoiceOn, out: MidiOut[]): void {
    const channel = channelFor(state.mix, event);
    const key = channel * 128 + event.note;
    if (state.counts[key]! > 0) emit(out, event.t, noteOff(channel, event.note));
    const on = noteOn(channel, event.note, velocityFor(state.mix, event));
    emit(out, event.t, underCeiling(on, ceiling));
    state.counts[key]!++;
    state.keys.set(event.voice, key);
  }

  function end(state: MidiState, { voice }: VoiceOff, t: Micros, out: MidiOut[]): void {
    const key = state.keys.get(voice);
    if (key === undefined) return;
    state.keys.delete(voice);
    if (--state.counts[key]! === 0) emit(out, t, noteOff(key >> 7, key & 127));
  }

  function silence(state: MidiState, t: Micros, out: MidiOut[]): void {
    for (const key of new Set(state.keys.values())) emit(out, t, noteOff(key >> 7, key & 127));
    for (const controller of [CONTROLLER.allNotesOff, CONTROLLER.allSoundOff]) {
      for (const channel of channelsOf(state)) emit(out, t, control(channel, controller, 0));
    }
    state.keys.clear();
    state.counts.fill(0);
  }

  function tellMix(t: Micros, all: readonly MidiBytes[], out: MidiOut[]): void {
    for (const bytes of all) emit(out, t, underCeiling(bytes, ceiling));
  }

  function pauseMono(state: MidiState, t: Micros, out: MidiOut[]): void {
    const { mono } = state;
    if (!mono || !state.leavesMono) return;
    const sounds = [...state.keys.values()].some((key) => within(mono, key >> 7));
    if (sounds || state.slurred) return;
    for (const bytes of closing(mono)) emit(out, t, bytes);
    state.mono = null;
    state.leavesMono = false;
  }

  function step(state: MidiState, event: VoiceEvent | Wake): Outcome<MidiState, MidiOut> {
    const out: MidiOut[] = [];
    const { slurred } = state;
    state.slurred = null;
    const carried = slurred && event.type === 'on' && continues(slurred, event);
    if (slurred && !carried) end(state, slurred, event.t, out);
    switch (event.type) {
      case 'on':
        start(state, event, out);
        if (carried) end(state, slurred, event.t, out);
        break;
      case 'off':
        if (event.slurred && state.mix.seats[event.seat]!.apart) state.slurred = event;
        else end(state, event, event.t, out);
        break;
      case 'mix':
        tellMix(event.t, remix(state.mix, event), out);
        break;
      case 'joined':
        tellMix(event.t, join(state.mix, event.seat, event.sound, options.channels), out);
        state.leavesMono = state.mono !== null;
        break;
      case 'left':
        tellMix(event.t, leave(state.mix, event.seat), out);
        break;
      case 'silence':
        silence(state, event.t, out);
        break;
      case 'wake':
        break;
    }
    pauseMono(state, event.t, out);
    // The on follows at once, so this wake-up only comes should a fault have kept it back.
    return { state, out, wake: state.slurred ? event.t + 1 : NEVER };
  }

  const begin = (mono: MidiState['mono'], mix: ChannelMix): MidiBytes[] =>
    opening(mono, mix).map((bytes) => underCeiling(bytes, ceiling));

  return {
    name: 'midi',
    plan,
    opening: begin(plan.mono, beginMix(plan, seats)),
    again: ({ mono, mix }) => begin(mono, mix),
    misfitOf({ mix }, seat) {
      const own = mix.seats[seat];
      return own && misfit(mix, seat) ? describeMisfit(own) : null;
    },
    notesOf({ mix, mono, leavesMono }, seat) {
      const own = mix.seats[seat];
      if (!own) return [];
      const channel = own.channels[0]!;
      const others = playersOf(mix, channel).filter((one) => one !== own);
      const program = mix.programs.get(channel)!;
      return describeJoin(own, others, {
        mode: options.channels,
        program,
        wasMono: leavesMono || mono !== plan.mono,
      });
    },
    channelsOf,
    closing: ({ mono }) => closing(mono),
    begin: () => ({
      mix: beginMix(plan, seats),
      keys: new Map(),
      counts: new Uint16Array(16 * 128),
      slurred: null,
      mono: plan.mono,
      leavesMono: false,
    }),
    step,
  };
}

function channelsOf({ mix }: MidiState): number[] {
  return [...mix.programs.keys()];
}

function within({ first, count }: NonNullable<ChannelPlan['mono']>, channel: number): boolean {
  return channel >= first && channel < first + count;
}

function emit(out: MidiOut[], t: Micros, bytes: MidiBytes): void {
  out.push({ type: 'midi', t, bytes });
}

function continues(off: VoiceOff, on: VoiceOn): boolean {
  return off.seat === on.seat && off.string === on.string;
}

/** Mode messages go to channel N only, with the number of channels M as 126's value (p21). */
function opening(mono: ChannelPlan['mono'], mix: ChannelMix): MidiBytes[] {
  const messages: MidiBytes[] = [];
  if (mono) {
    messages.push(control(mono.first, CONTROLLER.omniOff, 0));
    messages.push(control(mono.first, CONTROLLER.mono, mono.count));
  }
  messages.push(...allSettings(mix));
  return messages;
}

/**
 * Omni on and poly: mode 1, in which receivers start up (from memory). Poly alone would be mode 3,
 * in which FluidSynth 2.3.1 was seen to hear channel N only, so that the next room would be mute.
 */
function closing(mono: ChannelPlan['mono']): MidiBytes[] {
  if (!mono) return [];
  return [control(mono.first, CONTROLLER.omniOn, 0), control(mono.first, CONTROLLER.poly, 0)];
}
