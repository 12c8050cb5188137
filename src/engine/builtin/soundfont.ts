import { SoundBankLoader, SpessaLog, SpessaSynthProcessor } from 'spessasynth_core';
import type { Mix, SeatSound, VoiceOff, VoiceOn } from '../../room/voice.js';
import { within } from './loudness.js';
import {
  ChannelPool,
  sendBendRange,
  sendMix,
  sendProgram,
  type SeatChannels,
} from './soundfont-channels.js';
import { QUANTUM, type Synth } from './synth.js';

/** How far a slur may bend a note either way, in semitones. */
const BEND_RANGE = 24;
const BEND_CENTRE = 8192;
/** A silence takes this long, in seconds. */
const HUSH = 0.005;
/** Brings a loud note of a General MIDI set near −12 dBFS, as the own voices are (measured, not standard). */
const GAIN = 1;

/** A note that sounds on a channel: the key it was struck at, and the voice it is by now. */
interface Held {
  voice: number;
  readonly channel: number;
  readonly key: number;
  slurring: boolean;
}

export interface SoundFontOptions {
  readonly sampleRate: number;
  /** By slot as it begins; null where nobody plays. */
  readonly seats: readonly (SeatSound | null)[];
}

/**
 * Plays a SoundFont (SF2, SF3 or DLS) instead of the own voices: each seat's General MIDI program or drum
 * kit, one MIDI channel a string, so that a slur can bend its note, and one for a seat of another kind.
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
  /** By slot; null where nobody plays. */
  private readonly seats: (SeatChannels | null)[] = [];
  private readonly pool: ChannelPool;
  private held: Held[] = [];
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
    this.pool = new ChannelPool(options.seats);
    while (processor.midiChannels.length < this.pool.size) processor.createMIDIChannel();
    // 4.3.22 makes channels after the sixteenth as percussion and silent; a reset puts them right.
    processor.reset();
    for (const [slot, sound] of options.seats.entries()) this.seat(slot, sound);
  }

  seat(slot: number, seat: SeatSound | null): void {
    const before = this.seats[slot];
    if (before) this.pool.give(before);
    for (let i = this.seats.length; i < slot; i++) this.seats[i] = null;
    const own = seat && this.pool.take(seat);
    this.seats[slot] = own;
    if (!seat || !own) return;
    const { processor } = this;
    for (const channel of own.channels) {
      processor.midiChannels[channel]!.setDrums(own.drums);
      // What a slur of another seat has left there.
      processor.pitchWheel(channel, BEND_CENTRE);
    }
    sendProgram(processor, own, seat.sound);
    sendBendRange(processor, own, BEND_RANGE);
    sendMix(processor, own, seat.level, seat.pan);
  }

  on(event: VoiceOn): void {
    if (this.hushing) {
      this.waiting.push(event);
      return;
    }
    const seat = this.seats[event.seat];
    if (!seat) return;
    const channel = seat.channels[event.string % seat.channels.length]!;
    const note = within(event.note, 0, 127);
    if (seat.mono) {
      const before = this.held.find((held) => held.channel === channel);
      if (before?.slurring) {
        before.voice = event.voice;
        before.slurring = false;
        this.processor.pitchWheel(channel, bend(note - before.key), before.key);
        return;
      }
      if (before) this.release(before);
      this.processor.pitchWheel(channel, BEND_CENTRE, note);
    }
    this.processor.noteOn(channel, note, Math.round(within(event.velocity, 1, 127)));
    this.held.push({ voice: event.voice, channel, key: note, slurring: false });
  }

  off(event: VoiceOff): void {
    if (this.hushing) {
      this.waiting.push(event);
      return;
    }
    const held = this.held.find(({ voice }) => voice === event.voice);
    if (!held) return;
    if (event.slurred && this.seats[event.seat]?.mono) held.slurring = true;
    else this.release(held);
  }

  mix({ seat, level, pan, sound }: Mix): void {
    const own = this.seats[seat];
    if (!own) return;
    sendProgram(this.processor, own, sound);
    sendMix(this.processor, own, level, pan);
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
    // A slur's next note comes with the same event; where none came, the string is let go of.
    for (const held of this.held.filter(({ slurring }) => slurring)) this.release(held);
  }

  /** 4.3.22 pairs each Note Off with the oldest Note On of its key, so two pads may sound one key. */
  private release(ended: Held): void {
    this.held = this.held.filter((held) => held !== ended);
    this.processor.noteOff(ended.channel, ended.key);
  }

  /** After a silence: nothing is left of what sounded, and what came in meanwhile begins. */
  private resume(): void {
    this.processor.stopAllChannels(true);
    this.held = [];
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
