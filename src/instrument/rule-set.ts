import type { Micros } from '../time/micros.js';

/** A module of somebody's own. */
export interface OwnCode {
  /** Its file, for messages; in rules that were only parsed, its path as the rules file has it. */
  readonly file: string;
  /** All of it, as one piece of JavaScript; null in rules that were only parsed. */
  readonly code: string | null;
}

/** The playing logic's settings. Keys are those of the rules file; times are in microseconds. */
export interface Rules {
  readonly name: string;
  /** What plays instead of the built-in logic; null: the built-in logic. */
  readonly logic: OwnCode | null;
  readonly touch: {
    /** The level at which a touch begins, and the lower one under which it may end. */
    readonly on: number;
    readonly off: number;
    /** How long a level must stay under `off` before the pad counts as lifted. */
    readonly lift: Micros;
  };
  readonly strength: {
    /** How many more readings of the pad to look at for the peak; 0 takes the first, without waiting. */
    readonly readings: number;
    /** The longest wait for them. */
    readonly within: Micros;
  };
  readonly velocity: {
    /** The velocities of the softest and the hardest touch, 1 to 127. */
    readonly softest: number;
    readonly hardest: number;
    /**
     * A number: velocity = softest + (hardest − softest) · strength^curve. `square`: the velocity at
     * which a synthesizer's amplitude is proportional to the strength, from softest to hardest. A
     * table of [strength, velocity] stands as it is: strengths rise, velocities do not fall.
     */
    readonly curve: number | 'square' | readonly (readonly [number, number])[];
  };
  readonly strings: {
    /** Which of the held frets stops the string. */
    readonly stop: 'highest' | 'lowest' | 'latest';
    readonly 'hammer-on': boolean;
    readonly 'pull-off': boolean;
    readonly slide: boolean;
    /** A slide's old fret lifts at most this long after the new one is pressed. */
    readonly 'slide-overlap': Micros;
    /** A slide's new fret is pressed at most this long after the old one lifts. */
    readonly 'slide-gap': Micros;
    /** A pluck at most this long after a slur to its fret was meant for that fret; null: never. */
    readonly 'pluck-after': Micros | null;
    /** Whether slurs wait for such a pluck: never, always, or while the player often plucks then. */
    readonly 'wait-for-pluck': 'never' | 'often' | 'always';
    /** How long an open string rings. */
    readonly ring: Micros;
    /** A fret pressed on a ringing open string ends its note. */
    readonly 'damp-by-fret': boolean;
    /** A pluck pad held this long after its pluck ends the note; null: never. */
    readonly 'damp-by-hold': Micros | null;
    /** A fret pressed at most this long after its pluck was meant for it; null: never. */
    readonly 'late-fret': Micros | null;
    /** Whether plucks wait for a late fret: never, always, or while the player is often late. */
    readonly 'wait-for-fret': 'never' | 'often' | 'always';
    /** A fret that no pluck has used yet still counts this long after it let go. */
    readonly 'early-lift': Micros;
    /** A finger that takes longer than this to land on a pluck pad only rests there; null: never. */
    readonly 'resting-thumb': Micros | null;
    /**
     * A weak pluck next to a firm one of the next string waits this long, and was a brush if the
     * finger has gone by then; null: never.
     */
    readonly brush: Micros | null;
    /** How weak: less than this share of the other one's level. */
    readonly 'brush-share': number;
  };
  readonly keys: {
    /** How long a key sounds on after its finger has left. */
    readonly 'ring-on': Micros;
  };
  readonly holes: {
    /** How long the fingers must have come to rest before a fingering counts. */
    readonly settle: Micros;
    /** Whether a touch of the mouth waits for fingers that come right after it as well. */
    readonly 'mouth-waits': boolean;
    /** What a fingering that is not in the chart does to the note that sounds. */
    readonly unknown: 'keep' | 'end';
  };
  readonly hits: {
    /** A pad that was hit is deaf for this long. */
    readonly mask: Micros;
    /** How long a hit sounds, for sounds that go on until they are ended. */
    readonly ring: Micros;
  };
  readonly voices: {
    /** How many notes of one unit sound at once. */
    readonly most: number;
    /** Which of them stay when there are more. */
    readonly keep: 'lowest' | 'highest' | 'latest' | 'loudest';
  };
}
