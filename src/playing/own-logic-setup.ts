import { drumName } from '../instrument/drum-names.js';
import { padNames } from '../instrument/pad-names.js';
import { pitchName } from '../instrument/pitch.js';
import type { Instrument, Rules } from '../instrument/types.js';
import type { Pad, Setup, Sounding } from './own-logic-contract.js';

type Role = Omit<Pad, 'name'>;

/** What a module of somebody's own is told of the instrument and the rules that it plays by. */
export function setupOf(instrument: Instrument, rules: Rules): Setup {
  const roles = rolesOf(instrument);
  const names = padNames(instrument);
  const pads = Array.from({ length: roles.length }, (_, pad): Pad | null => {
    const role = roles[pad];
    return role ? { name: names[pad] ?? '', ...role } : null;
  });
  const { name, touch, strength, velocity, strings, keys, holes, hits, voices } = rules;
  const told = { name, touch, strength, velocity, strings, keys, holes, hits, voices };
  return { instrument, rules: told, strings: stringsOf(instrument), pads };
}

function stringsOf(instrument: Instrument): Sounding[] {
  switch (instrument.kind) {
    case 'strings':
      return instrument.strings.map(({ open, frets }) => ({
        name: pitchName(open),
        note: open,
        frets: frets.length,
      }));
    case 'keys':
      return instrument.keys.map(({ note }) => ({ name: pitchName(note), note, frets: 0 }));
    case 'holes': {
      const lowest = Math.min(...instrument.fingerings.map(({ note }) => note));
      return [{ name: 'pipe', note: lowest, frets: 0 }];
    }
    case 'hits':
      return instrument.hits.map(({ drum }) => ({ name: drumName(drum), note: drum, frets: 0 }));
  }
}

function rolesOf(instrument: Instrument): readonly (Role | undefined)[] {
  const roles: Role[] = [];
  switch (instrument.kind) {
    case 'strings':
      instrument.strings.forEach(({ open, frets, pluck }, string) => {
        frets.forEach((pad, i) => {
          roles[pad] = { part: 'fret', string, fret: i + 1, note: open + i + 1 };
        });
        roles[pluck] = { part: 'pluck', string, fret: 0, note: open };
      });
      break;
    case 'keys':
      instrument.keys.forEach(({ note, pad }, string) => {
        roles[pad] = { part: 'key', string, fret: 0, note };
      });
      break;
    case 'holes':
      for (const pad of instrument.holes) {
        roles[pad] = { part: 'hole', string: 0, fret: 0, note: null };
      }
      if (instrument.mouth !== null) {
        roles[instrument.mouth] = { part: 'mouth', string: 0, fret: 0, note: null };
      }
      break;
    case 'hits':
      instrument.hits.forEach(({ drum, pad }, string) => {
        roles[pad] = { part: 'drum', string, fret: 0, note: drum };
      });
      break;
  }
  return roles;
}
