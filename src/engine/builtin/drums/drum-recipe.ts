import type { Shape } from '../parts/noise-band.js';

/** A skin: a sine whose pitch falls as the skin slackens after the stroke. Times in seconds. */
export interface Skin {
  /** RMS as it begins. */
  readonly level: number;
  /** The frequency in Hz that it comes to rest at. */
  readonly hz: number;
  /** By how much of `hz` it begins higher (below 0: lower), struck hard. */
  readonly drop: number;
  /** The time constant of that fall. */
  readonly fall: number;
  readonly t60: number;
  /** How long it stands before it decays. */
  readonly hold: number;
  /** How often a second and by how much of `hz` the pitch goes to and fro (a pea in a whistle). */
  readonly trill: readonly [hz: number, depth: number];
}

/** A body of wood or metal: partials that decay, the higher ones sooner. */
export interface Body {
  /** RMS of all together as they begin. */
  readonly level: number;
  /** Hz. */
  readonly partials: readonly number[];
  /** Each partial's amplitude is this times the one before it, struck hard. */
  readonly tilt: number;
  /** Seconds for the first partial to fall by 60 dB. */
  readonly t60: number;
}

/** Wires, plates, beads and scrapes: filtered noise in one stroke or in a row of them. Times in seconds. */
export interface Hiss {
  /** RMS at the top of the last stroke. */
  readonly level: number;
  readonly shape: Shape;
  /** The middle or corner of its filter, struck hard. */
  readonly hz: number;
  readonly q: number;
  /** Of the last stroke. */
  readonly t60: number;
  readonly rise: number;
  /** How many strokes before the last, how far apart, and how fast each of them falls by 60 dB. */
  readonly strokes: readonly [count: number, every: number, t60: number];
  /** The first of them is this times as loud as the last. */
  readonly first: number;
}

/** One sound of a drum kit: layers that sound together; one that is left out is silent. */
export interface DrumRecipe {
  readonly skin?: Skin;
  readonly body?: Body;
  readonly hiss?: Hiss;
}

export const skin = (own: Pick<Skin, 'hz' | 't60'> & Partial<Skin>): Skin => ({
  level: 1,
  drop: 0.4,
  fall: 0.03,
  hold: 0,
  trill: [0, 0],
  ...own,
});

export const body = (own: Pick<Body, 'partials' | 't60'> & Partial<Body>): Body => ({
  level: 1,
  tilt: 0.8,
  ...own,
});

export const hiss = (own: Pick<Hiss, 'hz' | 't60'> & Partial<Hiss>): Hiss => ({
  level: 1,
  shape: 'band',
  q: 0.7,
  rise: 0,
  strokes: [0, 0, 0],
  first: 1,
  ...own,
});
