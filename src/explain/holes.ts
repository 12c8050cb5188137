import type { HolesInstrument } from '../instrument/types.js';
import { noteOf } from '../playing/holes-fingers.js';
import type { Micros } from '../time/micros.js';
import { perhaps, reason, type KindReasons, type Reason } from './reason.js';
import type { Scene, SeatNote } from './reason.js';
import { isDownAt, type TouchStory } from './touches.js';

/** Why a pipe sounded what it did, or did not. */
export function holeReasons(instrument: HolesInstrument): KindReasons {
  const { holes, mouth } = instrument;
  const isHole = (pad: number): boolean => holes.includes(pad);
  const sounds = (pad: number): boolean => (mouth === null ? isHole(pad) : pad === mouth);

  const closedAt = ({ touches }: Scene, t: Micros): boolean[] =>
    holes.map((pad) => touches.some((one) => one.pad === pad && isDownAt(one, t)));
  const fingering = (scene: Scene, t: Micros): string =>
    closedAt(scene, t)
      .map((closed) => (closed ? 'x' : 'o'))
      .join('');
  const inChart = (scene: Scene, t: Micros): boolean =>
    noteOf(
      instrument,
      closedAt(scene, t).map((closed) => ({ closed })),
    ) !== null;

  /** The last finger that moved before a time, and when. */
  function lastMoved({ touches }: Scene, t: Micros): { pad: number; moved: Micros } | null {
    const moves = touches
      .filter(({ pad }) => isHole(pad))
      .flatMap(({ pad, onset, lift, loose }) => [
        { pad, moved: onset },
        ...(lift === null || lift > t ? [] : [{ pad, moved: loose ?? lift }]),
      ])
      .filter(({ moved }) => moved <= t);
    return moves.sort((a, b) => b.moved - a.moved)[0] ?? null;
  }

  function none(scene: Scene, touch: TouchStory): Reason[] {
    const { strike, onset } = touch;
    if (!strike) return [];
    const over = touch.loose ?? touch.lift ?? scene.run.end;
    if (!inChart(scene, over)) {
      const facts = { fingering: fingering(scene, over) };
      return [reason('no-fingering', facts)];
    }
    // A finger of a pipe without a mouth sounds nothing where another one lies already.
    if (mouth === null && closedAt(scene, onset - 1).some((closed) => closed)) return [];
    const facts = { lasted: over - onset, moved: lastMoved(scene, over)?.pad ?? null };
    return [reason('mouth-short', facts, 'holes.settle', 'holes.mouth-waits', 'touch.lift')];
  }

  function start(scene: Scene, { on, touch }: SeatNote): Reason[] {
    const facts = { fingering: fingering(scene, on.t) };
    const last = lastMoved(scene, on.t);
    if (on.how === 'finger') {
      const after = on.t - (last?.moved ?? on.t);
      return [reason('fingered', { ...facts, pad: last?.pad ?? null, after }, 'holes.settle')];
    }
    const blown = reason('blown', facts);
    const told = touch?.strike?.t ?? on.t;
    if (on.t <= told) return [blown];
    const moved = last && last.moved > (touch?.onset ?? 0) ? last.pad : null;
    const by = { by: on.t - told, pad: moved };
    return [blown, reason('waited-fingers', by, 'holes.settle', 'holes.mouth-waits')];
  }

  function end(scene: Scene, { off, offStep }: SeatNote): Reason[] {
    if (!off || !offStep) return [];
    const { event, t } = offStep;
    if (off.slurred) return [reason('slurred', { how: 'finger' }, 'holes.settle')];
    if (offStep.out.some(({ type }) => type === 'on') || event.type === 'onset') {
      return [reason('again')];
    }
    if (event.type === 'lift') return [reason('mouth-left', {}, 'touch.lift', 'touch.off')];
    if (event.type !== 'wake') return [];
    if (!inChart(scene, t)) {
      return [reason('not-in-chart', { fingering: fingering(scene, t) }, 'holes.unknown')];
    }
    return [reason('heard-out', {}, 'holes.settle')];
  }

  /** A finger that moved, and no note came of it. */
  function silent(scene: Scene, touch: TouchStory): { began: Reason[]; lifted: Reason[] } {
    const moved = (t: Micros): Reason[] => {
      const facts = { fingering: fingering(scene, t) };
      if (!inChart(scene, t)) return [perhaps('no-fingering', facts, 'holes.unknown')];
      return [perhaps('finger-passing', facts, 'holes.settle', 'touch.lift')];
    };
    return { began: moved(touch.onset), lifted: touch.lift === null ? [] : moved(touch.lift) };
  }

  return {
    sounds,
    placeOf: (pad) => (isHole(pad) || pad === mouth ? 0 : null),
    none,
    silent,
    start,
    end,
  };
}
