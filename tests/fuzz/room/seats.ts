import { padCount } from '../../../src/instrument/instrument-pads.js';
import { parseRules } from '../../../src/instrument/rules.js';
import type { Build, Instrument, Rules } from '../../../src/instrument/types.js';
import type { SeatPlan } from '../../../src/pipeline.js';
import { shipped } from '../../support/kinds.js';
import { wildLogic } from './wild-logic.js';

export const SEATS = 32;

/** Every kind, and the sizes that ship. */
export const INSTRUMENTS = [
  ...['bass-4x4', 'keys-13', 'pipe-8', 'drums-6', 'ukulele-4x6', 'pipe-8-finger'],
] as const;

export const instruments = new Map<string, Instrument>(
  INSTRUMENTS.map((name) => [name, shipped(name)]),
);

/**
 * How a seat's readings come: all pads of a calibrated or an unknown unit; changes of 7-bit values; touches
 * that the board itself decided; notes that another computer made.
 */
export type Wire = (typeof WIRES)[number];
const WIRES = ['calibrated', 'unknown', 'changes', 'decided', 'made'] as const;

/** "retuned": the same pads at other pitches, which a seat takes over while it plays. */
export function instrumentNamed(name: string, now: Instrument): Instrument {
  if (name !== 'retuned') return instruments.get(name)!;
  switch (now.kind) {
    case 'strings':
      return { ...now, strings: now.strings.map((one) => ({ ...one, open: one.open ^ 2 })) };
    case 'keys':
      return { ...now, keys: now.keys.map((one) => ({ ...one, note: one.note ^ 2 })) };
    case 'holes':
      return { ...now, fingerings: now.fingerings.map((one) => ({ ...one, note: one.note ^ 2 })) };
    case 'hits':
      return now;
  }
}

/** Whether a seat may go on with another instrument, instead of beginning again. */
export function sameShape(one: Instrument, other: Instrument): boolean {
  const strings = (of: Instrument): number => (of.kind === 'strings' ? of.strings.length : 1);
  return (
    one.kind === other.kind && padCount(one) === padCount(other) && strings(one) === strings(other)
  );
}

export const wireOf = (seat: number): Wire => WIRES[seat % WIRES.length]!;
export const instrumentOf = (seat: number): string => INSTRUMENTS[seat % INSTRUMENTS.length]!;
export const nameOf = (seat: number): string => `seat ${String(seat)}`;

/** Where a pad of a seat's unit rests, and how far a full touch moves it. */
export const REST = (seat: number, pad: number): number => 900 + ((seat * 37 + pad * 53) % 400);
export const SPAN = (seat: number, pad: number): number => 500 + ((seat * 71 + pad * 29) % 500);

export const fullOf = (wire: Wire): number =>
  wire === 'changes' || wire === 'decided' ? 127 : 16_383;

function buildOf(seat: number, pads: number): Build {
  const all = Array.from({ length: pads }, (_, pad) => pad);
  return {
    wiring: all,
    pads: all.map((pad) => ({
      rest: REST(seat, pad),
      span: SPAN(seat, pad),
      noise: 8,
      // A neighbour shows a little, as it does on card.
      coupling: pad === 0 ? [] : [{ from: pad - 1, share: 0.05 }],
    })),
  };
}

/** The build that a swap brings; null: calibrated as it goes. */
export function swappedBuild(seat: number, pads: number, how: 'calibrated' | 'none'): Build | null {
  return how === 'calibrated' ? buildOf(seat, pads) : null;
}

export function planOf(seat: number, rules: Rules): SeatPlan {
  const instrument = instruments.get(instrumentOf(seat))!;
  const wire = wireOf(seat);
  const pads = padCount(instrument);
  return {
    instrument,
    rules,
    logic: wildLogic,
    made: wire === 'made',
    pads: {
      pads,
      full: fullOf(wire),
      decided: wire === 'decided',
      build: wire === 'calibrated' ? buildOf(seat, pads) : null,
    },
    // Pads that are held together ask for other rules, at every eighth seat.
    ...(seat % 8 === 1 ? { gesture: { pads: [0, 1], hold: 200_000 } } : {}),
  };
}

/** So many rule sets are swapped among. */
export const RULE_SETS = 24;

/**
 * Rule sets of all settings that the schema allows, as their files are read. Rings are at most four
 * seconds, as in the shipped rules: what sounds longer by its rules may.
 */
export function ruleSets(random: () => number): Rules[] {
  const pick = <T>(...from: readonly T[]): T => from[Math.floor(random() * from.length)]!;
  return Array.from({ length: RULE_SETS }, (_, i) => {
    const wild = i % 6 === 5;
    const written = {
      name: `rules ${String(i)}`,
      ...(wild ? { logic: { file: 'wild.ts', code: `'wild ${String(i)}'` } } : {}),
      touch: { on: pick(0.2, 0.3, 0.6), off: pick(0.1, 0.19), lift: pick('0ms', '5ms', '40ms') },
      strength: { readings: pick(0, 1, 3), within: pick('2ms', '6ms', '30ms') },
      velocity: {
        softest: pick(1, 20),
        hardest: pick(90, 127),
        curve: pick<number | 'square'>(0.5, 1, 'square'),
      },
      strings: {
        stop: pick('highest', 'lowest', 'latest'),
        'hammer-on': pick(true, false),
        'pull-off': pick(true, false),
        slide: pick(true, false),
        'slide-overlap': pick('0ms', '120ms'),
        'slide-gap': pick('0ms', '30ms'),
        ring: pick('10ms', '50ms', '1s', '4s'),
        'damp-by-fret': pick(true, false),
        'damp-by-hold': pick('never', '10ms', '300ms'),
        'late-fret': pick('never', '0ms', '22ms', '200ms'),
        'wait-for-fret': pick('never', 'often', 'always'),
        'early-lift': pick('0ms', '36ms', '200ms'),
        'resting-thumb': pick('never', '6ms', '1s'),
        brush: pick('never', '0ms', '36ms', '200ms'),
        'brush-share': pick(0, 0.65, 1),
      },
      keys: { 'ring-on': pick('0ms', '100ms', '3s') },
      holes: {
        settle: pick('0ms', '20ms', '55ms'),
        'mouth-waits': pick(true, false),
        unknown: pick('keep', 'end'),
      },
      hits: { mask: pick('0ms', '40ms'), ring: pick('1ms', '400ms', '4s') },
      voices: { most: pick(1, 2, 4, 10), keep: pick('lowest', 'highest', 'latest', 'loudest') },
    };
    return parseRules(JSON.stringify(written), `rules ${String(i)}`);
  });
}
