import type { HitsInstrument, Instrument, KeysInstrument } from '../instrument/types.js';
import { holeReasons } from './holes.js';
import { reason, type KindReasons } from './reason.js';
import { stringReasons } from './strings.js';

/** How an instrument is explained. */
export function kindReasons(instrument: Instrument): KindReasons {
  switch (instrument.kind) {
    case 'strings':
      return stringReasons(instrument);
    case 'keys':
      return keyReasons(instrument);
    case 'holes':
      return holeReasons(instrument);
    case 'hits':
      return hitReasons(instrument);
  }
}

const silent = (): { began: []; lifted: [] } => ({ began: [], lifted: [] });

function keyReasons({ keys }: KeysInstrument): KindReasons {
  const placeOf = (pad: number): number | null => found(keys.findIndex((key) => key.pad === pad));
  return {
    sounds: (pad) => placeOf(pad) !== null,
    placeOf,
    none: () => [],
    silent,
    start: () => [reason('pressed')],
    end: (_scene, { on, off, offStep }) => {
      if (!off || !offStep) return [];
      if (offStep.out.some((one) => one.type === 'on' && one.string === on.string)) {
        return [reason('again')];
      }
      if (offStep.event.type === 'wake') return [reason('rang-on', {}, 'keys.ring-on')];
      if (offStep.event.type !== 'lift') return [];
      return [reason('finger-left', {}, 'keys.ring-on', 'touch.lift', 'touch.off')];
    },
  };
}

function hitReasons({ hits }: HitsInstrument): KindReasons {
  const placeOf = (pad: number): number | null => found(hits.findIndex((hit) => hit.pad === pad));
  return {
    sounds: (pad) => placeOf(pad) !== null,
    placeOf,
    none: ({ rules, notes }, touch) => {
      const place = placeOf(touch.pad);
      const before = notes.findLast(
        ({ on, touch: own }) => on.string === place && own !== null && own.onset < touch.onset,
      );
      if (!touch.strike || !before?.touch) return [];
      const after = touch.onset - before.touch.onset;
      return after < rules.hits.mask ? [reason('deaf', { after }, 'hits.mask')] : [];
    },
    silent,
    start: () => [reason('hit', {}, 'hits.mask')],
    end: (_scene, { on, off, offStep }) => {
      if (!off || !offStep) return [];
      if (offStep.out.some((one) => one.type === 'on' && one.string === on.string)) {
        return [reason('again')];
      }
      return offStep.event.type === 'wake' ? [reason('hit-over', {}, 'hits.ring')] : [];
    },
  };
}

function found(index: number): number | null {
  return index < 0 ? null : index;
}
