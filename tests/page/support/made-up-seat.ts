import { placeCount } from '../../../src/instrument/instrument-pads.js';
import { padNames } from '../../../src/instrument/pad-names.js';
import { describeRules, PLAIN } from '../../../src/instrument/rules.js';
import type { Layout } from '../../../src/page/link/frames.js';
import type { PageSeat } from '../../../src/page/link/state.js';
import { shipped } from '../../support/kinds.js';

/** A seat as a room tells it, on an instrument that ships. Its numbers are 0 where none are given. */
export function madeUpSeat(name: string, file: string, more: Partial<PageSeat> = {}): PageSeat {
  const instrument = shipped(file);
  const values = Object.fromEntries(describeRules(PLAIN).map(({ key, value }) => [key, value]));
  return {
    id: 0,
    slot: 0,
    slice: 0,
    name,
    instrument,
    padNames: padNames(instrument),
    strings: placeCount(instrument),
    plugged: 'here',
    from: 'OSC on UDP port 9000',
    screen: false,
    raw: true,
    build: name,
    misfit: null,
    mix: { level: 0.8, pan: 0, mute: false, solo: false, lead: false, sound: instrument.sound },
    rules: { name: 'plain', values, tried: [], fault: null },
    ...more,
  };
}

/** The seats with numbers of their own, as they are where a room begins. */
export function numbered(seats: readonly PageSeat[]): PageSeat[] {
  return seats.map((seat, i) => ({ ...seat, id: i, slot: i, slice: 100 + i }));
}

/** How levels frames of these seats are laid out. */
export function layoutOf(seats: readonly PageSeat[], layout = 1): Layout {
  const slices = seats.map(({ slice, padNames, strings }) => ({
    slice,
    strings,
    pads: padNames.length,
  }));
  return { layout, slices };
}
