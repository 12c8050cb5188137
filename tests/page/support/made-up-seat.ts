import { placeCount } from '../../../src/instrument/instrument-pads.js';
import { padNames } from '../../../src/instrument/pad-names.js';
import { describeRules, PLAIN } from '../../../src/instrument/rules.js';
import type { PageSeat } from '../../../src/page/link/state.js';
import { shipped } from '../../support/kinds.js';

/** A seat as a room tells it, on an instrument that ships. */
export function madeUpSeat(name: string, file: string, more: Partial<PageSeat> = {}): PageSeat {
  const instrument = shipped(file);
  const values = Object.fromEntries(describeRules(PLAIN).map(({ key, value }) => [key, value]));
  return {
    name,
    instrument,
    padNames: padNames(instrument),
    strings: placeCount(instrument),
    plugged: 'here',
    from: 'OSC on UDP port 9000',
    screen: false,
    raw: true,
    build: name,
    mix: { level: 0.8, pan: 0, mute: false, solo: false, lead: false, sound: instrument.sound },
    rules: { name: 'plain', values, tried: [], fault: null },
    ...more,
  };
}
