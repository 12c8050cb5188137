import type { Kind } from '../../instrument/types.js';
import type { Mix, VoiceOff, VoiceOn } from '../../room/voice.js';
import type { SeatSound } from '../seat-sound.js';
import { Bus } from './bus.js';
import { choked } from './drums/choke.js';
import { DrumSource } from './drums/drum-source.js';
import { KeySource } from './keys/key-source.js';
import { Maker, type MakerOptions } from './maker.js';
import { PipeSource } from './pipe/pipe-source.js';
import { StringSource } from './strings/string-source.js';
import type { Synth } from './synth.js';

export interface EnsembleOptions {
  readonly sampleRate: number;
  /** Integer; the same seed gives the same samples. */
  readonly seed: number;
  readonly seats: readonly SeatSound[];
}

const KINDS: Readonly<Record<Kind, Omit<MakerOptions, 'sampleRate' | 'seed'>>> = {
  strings: { source: (rate) => new StringSource(rate), slurs: true },
  keys: { source: (rate) => new KeySource(rate), slurs: false },
  holes: { source: (rate) => new PipeSource(rate), slurs: true },
  hits: { source: (rate) => new DrumSource(rate), slurs: false, chokes: choked },
};

/**
 * The built-in voices: plucked strings, keys, a pipe and drums, by the kind of each seat's instrument;
 * a bus for each seat gives it its level and its place between left and right.
 */
export class Ensemble implements Synth {
  private readonly makers: readonly Maker[];
  /** By seat. */
  private readonly makerOf: readonly Maker[];
  private readonly buses: readonly Bus[];
  private readonly sounds: number[];

  constructor({ sampleRate, seed, seats }: EnsembleOptions) {
    const makers = new Map<Kind, Maker>();
    for (const { kind } of seats) {
      if (!makers.has(kind)) makers.set(kind, new Maker({ sampleRate, seed, ...KINDS[kind] }));
    }
    this.makers = [...makers.values()];
    this.makerOf = seats.map(({ kind }) => makers.get(kind)!);
    this.buses = seats.map(({ level, pan }) => new Bus(sampleRate, level, pan));
    this.sounds = seats.map(({ sound }) => sound);
  }

  on(event: VoiceOn): void {
    this.makerOf[event.seat]?.on(event, this.sounds[event.seat]!);
  }

  off(event: VoiceOff): void {
    this.makerOf[event.seat]?.off(event);
  }

  mix({ seat, level, pan, sound }: Mix): void {
    const maker = this.makerOf[seat];
    if (!maker) return;
    this.sounds[seat] = sound;
    this.buses[seat]!.set(level, pan, maker.sounds(seat));
  }

  silence(): void {
    for (const maker of this.makers) maker.silence();
  }

  render(left: Float32Array, right: Float32Array, from: number, to: number): void {
    for (const bus of this.buses) bus.clear();
    for (const maker of this.makers) maker.render(this.buses, to - from);
    left.fill(0, from, to);
    right.fill(0, from, to);
    for (const bus of this.buses) bus.mixInto(left, right, from, to);
  }

  quantum(): void {
    for (const maker of this.makers) maker.quantum();
  }
}
