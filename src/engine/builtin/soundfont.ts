import {
  DEFAULT_PERCUSSION,
  MIDIControllers,
  SoundBankLoader,
  SpessaLog,
  SpessaSynthProcessor,
} from 'spessasynth_core';
import type { VoiceOff, VoiceOn } from '../../room/voice.js';
import type { SeatSound } from '../seat-sound.js';
import { within } from './loudness.js';
import { QUANTUM, type Synth } from './synth.js';

const CHANNELS_A_PORT = 16;
/** How far a slur may bend a note either way, in semitones. */
const BEND_RANGE = 24;
const BEND_CENTRE = 8192;
/** A silence takes this long, in seconds. */
const HUSH = 0.005;
/** Brings a loud note of a General MIDI set near −12 dBFS, as the own strings are (measured, not standard). */
const GAIN = 1;

/** A note that sounds on a string's channel: the key it was struck at, and the voice it is by now. */
interface Held {
  voice: number;
  readonly key: number;
  slurring: boolean;
}

export interface SoundFontOptions {
  readonly sampleRate: number;
  readonly seats: readonly SeatSound[];
}

/**
 * Plays a SoundFont (SF2, SF3 or DLS) instead of the own strings: each seat's General MIDI program, one
 * MIDI channel a string (never a tenth one, which is percussion), so that a slur can bend its note.
 *
 * @param file the whole file's bytes
 * @throws Error where the bytes are no SoundFont
 */
export async function loadSoundFont(file: ArrayBuffer, options: SoundFontOptions): Promise<Synth> {
  SpessaLog.setLogLevel(false, false, false);
  const processor = new SpessaSynthProcessor(options.sampleRate, {
    maxBufferSize: QUANTUM,
    effectsEnabled: false,
    eventsEnabled: false,
  });
  await processor.processorInitialized;
  processor.soundBankManager.addSoundBank(SoundBankLoader.fromArrayBuffer(file), 'main');
  return new SoundFontSynth(processor, options);
}

class SoundFontSynth implements Synth {
  /** By seat, the channel of its first string. */
  private readonly channels: number[][] = [];
  private readonly held: (Held | undefined)[] = [];
  private readonly hushStep: number;
  private hush = 1;
  private hushing = false;
  private readonly waiting: (VoiceOn | VoiceOff)[] = [];

  constructor(
    private readonly processor: SpessaSynthProcessor,
    options: SoundFontOptions,
  ) {
    this.hushStep = 1 / (HUSH * options.sampleRate);
    processor.setSystemParameter('gain', GAIN);
    let channel = -1;
    for (const seat of options.seats) {
      const own: number[] = [];
      for (let i = 0; i < Math.max(1, seat.strings); i++) {
        channel++;
        if (channel % CHANNELS_A_PORT === DEFAULT_PERCUSSION) channel++;
        own.push(channel);
      }
      this.channels.push(own);
    }
    while (processor.midiChannels.length <= channel) processor.createMIDIChannel();
    // 4.3.22 makes channels after the sixteenth as percussion and silent; a reset puts them right.
    processor.reset();
    for (const [i, seat] of options.seats.entries()) {
      for (const own of this.channels[i]!) this.prepare(own, seat);
    }
  }

  on(event: VoiceOn): void {
    if (this.hushing) {
      this.waiting.push(event);
      return;
    }
    const channel = this.channelOf(event);
    if (channel === undefined) return;
    const note = within(event.note, 0, 127);
    const held = this.held[channel];
    if (held?.slurring) {
      held.voice = event.voice;
      held.slurring = false;
      this.processor.pitchWheel(channel, bend(note - held.key), held.key);
      return;
    }
    this.release(channel);
    this.processor.pitchWheel(channel, BEND_CENTRE, note);
    this.processor.noteOn(channel, note, Math.round(within(event.velocity, 1, 127)));
    this.held[channel] = { voice: event.voice, key: note, slurring: false };
  }

  off(event: VoiceOff): void {
    if (this.hushing) {
      this.waiting.push(event);
      return;
    }
    const channel = this.channelOf(event);
    if (channel === undefined) return;
    const held = this.held[channel];
    if (held?.voice !== event.voice) return;
    if (event.slurred) held.slurring = true;
    else this.release(channel);
  }

  silence(): void {
    this.hushing = true;
    this.waiting.length = 0;
  }

  render(left: Float32Array, right: Float32Array, from: number, to: number): void {
    left.fill(0, from, to);
    right.fill(0, from, to);
    this.processor.process(left, right, from, to - from);
    if (!this.hushing) return;
    for (let i = from; i < to; i++) {
      this.hush = Math.max(0, this.hush - this.hushStep);
      left[i]! *= this.hush;
      right[i]! *= this.hush;
    }
    if (this.hush === 0) this.resume();
  }

  quantum(): void {
    for (const [channel, held] of this.held.entries()) {
      // A slur's next note comes with the same event; where none came, the string is let go of.
      if (held?.slurring) this.release(channel);
    }
  }

  private prepare(channel: number, seat: SeatSound): void {
    const { processor } = this;
    processor.programChange(channel, within(Math.round(seat.sound) - 1, 0, 127));
    processor.controllerChange(channel, MIDIControllers.registeredParameterMSB, 0);
    processor.controllerChange(channel, MIDIControllers.registeredParameterLSB, 0);
    processor.controllerChange(channel, MIDIControllers.dataEntryMSB, BEND_RANGE);
    processor.midiChannels[channel]!.setSystemParameter('gain', within(seat.level, 0, 1));
  }

  private channelOf(event: VoiceOn | VoiceOff): number | undefined {
    const own = this.channels[event.seat];
    return own?.[event.string % own.length];
  }

  private release(channel: number): void {
    const held = this.held[channel];
    if (held) this.processor.noteOff(channel, held.key);
    this.held[channel] = undefined;
  }

  /** After a silence: nothing is left of what sounded, and what came in meanwhile begins. */
  private resume(): void {
    this.processor.stopAllChannels(true);
    this.held.fill(undefined);
    this.hushing = false;
    this.hush = 1;
    for (const event of this.waiting) {
      if (event.type === 'on') this.on(event);
      else this.off(event);
    }
    this.waiting.length = 0;
  }
}

/** The 14-bit pitch wheel for a bend of so many semitones. */
function bend(semitones: number): number {
  const share = within(semitones / BEND_RANGE, -1, 1);
  return Math.min(16383, Math.round(BEND_CENTRE * (1 + share)));
}
