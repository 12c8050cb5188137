import type { Kind } from '../../instrument/types.js';
import type { Mix, SeatSound, VoiceOff, VoiceOn } from '../../room/voice.js';
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
  /** By slot as it begins; null where nobody plays. */
  readonly seats: readonly (SeatSound | null)[];
  /** What can begin without being made first; left out: what the seats play. */
  readonly kinds?: readonly Kind[];
}

const KINDS: Readonly<Record<Kind, Omit<MakerOptions, 'sampleRate' | 'seed'>>> = {
  strings: { source: (rate) => new StringSource(rate), slurs: true },
  keys: { source: (rate) => new KeySource(rate), slurs: false },
  holes: { source: (rate) => new PipeSource(rate), slurs: true },
  hits: { source: (rate) => new DrumSource(rate), slurs: false, chokes: choked },
};

export const ALL_KINDS = Object.keys(KINDS) as readonly Kind[];

/**
 * The built-in voices: plucked strings, keys, a pipe and drums, by the kind of each seat's instrument;
 * a bus for each slot gives it its level and its place between left and right.
 */
export class Ensemble implements Synth {
  private readonly makers = new Map<Kind, Maker>();
  /** By slot; null where nobody plays. */
  private readonly makerOf: (Maker | null)[] = [];
  /** By slot; one that a seat has left fades out what has ended there. */
  private readonly buses: Bus[] = [];
  private readonly sounds: number[] = [];

  constructor(private readonly options: EnsembleOptions) {
    for (const kind of options.kinds ?? []) this.maker(kind);
    for (const [slot, sound] of options.seats.entries()) this.seat(slot, sound);
  }

  seat(slot: number, sound: SeatSound | null): void {
    for (let i = this.buses.length; i <= slot; i++) {
      this.buses[i] = new Bus(this.options.sampleRate, 1, 0);
      this.makerOf[i] = null;
      this.sounds[i] = 1;
    }
    this.makerOf[slot] = sound && this.maker(sound.kind);
    if (!sound) return;
    this.sounds[slot] = sound.sound;
    this.buses[slot]!.set(sound.level, sound.pan, this.fades(slot));
  }

  /** Those of one kind are made together, which takes up to 20 ms. */
  private maker(kind: Kind): Maker {
    const { sampleRate, seed } = this.options;
    const own = this.makers.get(kind) ?? new Maker({ sampleRate, seed, ...KINDS[kind] });
    this.makers.set(kind, own);
    return own;
  }

  private fades(slot: number): boolean {
    for (const maker of this.makers.values()) if (maker.sounds(slot)) return true;
    return false;
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
    this.buses[seat]!.set(level, pan, this.fades(seat));
  }

  silence(): void {
    for (const maker of this.makers.values()) maker.silence();
  }

  render(left: Float32Array, right: Float32Array, from: number, to: number): void {
    for (const bus of this.buses) bus.clear();
    for (const maker of this.makers.values()) maker.render(this.buses, to - from);
    left.fill(0, from, to);
    right.fill(0, from, to);
    for (const bus of this.buses) bus.mixInto(left, right, from, to);
  }

  quantum(): void {
    for (const maker of this.makers.values()) maker.quantum();
  }
}
