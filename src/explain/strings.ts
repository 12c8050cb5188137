import type { StringsInstrument } from '../instrument/types.js';
import { firmness, mayBeBrush } from '../playing/brush.js';
import { stringRoles } from '../playing/strings.js';
import { MILLISECOND, type Micros } from '../time/micros.js';
import { perhaps, reason, type KindReasons, type Reason } from './reason.js';
import type { Scene, SeatNote } from './reason.js';
import { isDownAt, looseAt, type TouchStory } from './touches.js';

/** A fret that comes later, or lets go earlier, is more likely of another note. */
const FAR: Micros = 100 * MILLISECOND;

const PLUCKED_AFTER = ['strings.wait-for-pluck', 'strings.pluck-after'] as const;

const SLURS = { hammer: 'strings.hammer-on', pull: 'strings.pull-off', slide: 'strings.slide' };

/** Why strings sounded what they did, or did not. */
export function stringReasons(instrument: StringsInstrument): KindReasons {
  const roles = stringRoles(instrument);
  const isPluck = (pad: number): boolean => roles[pad]?.fret === 0;

  const fretsOf = (scene: Scene, string: number): TouchStory[] =>
    scene.touches.filter(({ pad }) => roles[pad]?.string === string && !isPluck(pad));
  const fretOf = ({ pad }: TouchStory): number => roles[pad]!.fret;

  /** The firmest pluck of a string next to it beside which it counts as weak. */
  function besides({ touches, rules }: Scene, touch: TouchStory): TouchStory | null {
    const { strike } = touch;
    const string = roles[touch.pad]?.string ?? -9;
    if (!strike) return null;
    const beside = touches.filter(
      (one) =>
        one.strike !== null &&
        isPluck(one.pad) &&
        Math.abs(roles[one.pad]!.string - string) === 1 &&
        mayBeBrush(strike, [one.strike], rules.strings),
    );
    return beside.sort((a, b) => firmness(b.strike!) - firmness(a.strike!))[0] ?? null;
  }

  function brushFacts(scene: Scene, touch: TouchStory) {
    const other = besides(scene, touch);
    const shown = touch.strike?.shown ?? 0;
    const reach = other?.strike ? firmness(other.strike) : null;
    return { shown, beside: other?.pad ?? null, reach };
  }

  function none(scene: Scene, touch: TouchStory): Reason[] {
    const { strike } = touch;
    if (!strike) return [];
    const slowest = scene.rules.strings['resting-thumb'];
    if (slowest !== null && strike.landing > slowest) {
      return [reason('resting', { took: strike.landing }, 'strings.resting-thumb')];
    }
    const step = stepOf(scene, touch);
    if (step?.waits === 'brush' || step?.waits === 'untold') {
      const facts = {
        ...brushFacts(scene, touch),
        lasted: (touch.loose ?? strike.t) - touch.onset,
      };
      return [reason('brush', facts, 'strings.brush', 'strings.brush-share')];
    }
    return [];
  }

  function start(scene: Scene, note: SeatNote): Reason[] {
    const { on, touch } = note;
    if (on.how === 'late') return lateReasons(scene, note);
    if (on.how === 'hammer' || on.how === 'pull' || on.how === 'slide') {
      const more = on.how === 'slide' ? ['strings.slide-overlap', 'strings.slide-gap'] : [];
      const slurred = reason(on.how, { fret: on.fret }, SLURS[on.how], ...more);
      const by = scene.rules.strings['pluck-after'];
      if (note.onStep.event.type !== 'wake' || by === null) return [slurred];
      return [slurred, reason('waited-pluck', { by }, ...PLUCKED_AFTER)];
    }
    return [
      reason('plucked', {}),
      ...waitReasons(scene, note),
      ...pitchReasons(scene, note, touch?.onset ?? on.t),
    ];
  }

  function lateReasons(scene: Scene, { on, onStep }: SeatNote): Reason[] {
    const plucks = scene.touches.filter(
      ({ pad, strike }) =>
        isPluck(pad) && roles[pad]!.string === on.string && strike && strike.t <= on.t,
    );
    const since = plucks.at(-1)?.strike?.contact ?? on.t;
    return [reason('late', { fret: on.fret, after: onStep.t - since }, 'strings.late-fret')];
  }

  function waitReasons(scene: Scene, { on, touch }: SeatNote): Reason[] {
    if (!touch?.strike || on.t <= touch.strike.t) return [];
    const by = on.t - touch.strike.t;
    switch (stepOf(scene, touch)?.waits) {
      case 'fret':
        return [reason('waited-fret', { by }, 'strings.wait-for-fret', 'strings.late-fret')];
      case 'brush': {
        const facts = { by, ...brushFacts(scene, touch) };
        return [reason('waited-brush', facts, 'strings.brush', 'strings.brush-share')];
      }
      default:
        return [reason('waited-strength', { by }, 'strings.brush')];
    }
  }

  function pitchReasons(scene: Scene, { on }: SeatNote, plucked: Micros): Reason[] {
    const frets = fretsOf(scene, on.string);
    const held = frets.filter((one) => isDownAt(one, on.t) && looseAt(one, on.t) === null);
    const own = frets.filter((one) => fretOf(one) === on.fret && one.onset <= on.t).at(-1);
    const others = held.filter((one) => fretOf(one) !== on.fret).map(fretOf);
    const reasons: Reason[] = [];
    const loose = own && (looseAt(own, plucked) ?? (isDownAt(own, plucked) ? null : own.loose));
    if (on.fret === 0 || !own) reasons.push(reason('open'));
    else if (loose) {
      const facts = { fret: on.fret, before: plucked - loose };
      reasons.push(reason('early-lift', facts, 'strings.early-lift'));
    } else reasons.push(reason('fret', { fret: on.fret, held: plucked - own.onset }));
    if (others.length > 0) {
      const facts = { fret: on.fret, others: others.join(' and ') };
      reasons.push(perhaps('of-several', facts, 'strings.stop'));
    }
    for (const one of frets) reasons.push(...missedBy(one, on, plucked));
    for (const { pad, sample } of scene.near) {
      if (roles[pad]?.string !== on.string || isPluck(pad)) continue;
      const { level, on: limit } = sample;
      reasons.push(perhaps('near-fret', { fret: roles[pad]!.fret, level, limit }, 'touch.on'));
    }
    return reasons;
  }

  /** A fret that would have been the note's, had it come sooner or stayed longer. */
  function missedBy(one: TouchStory, on: SeatNote['on'], plucked: Micros): Reason[] {
    const fret = fretOf(one);
    if (fret === on.fret) return [];
    const after = one.onset - plucked;
    if (one.onset > on.t && after <= FAR) {
      return [
        perhaps('missed-late', { fret, after }, 'strings.late-fret', 'strings.wait-for-fret'),
      ];
    }
    const before = plucked - (looseAt(one, plucked) ?? one.loose ?? plucked);
    if (before <= 0 || before > FAR) return [];
    return [perhaps('missed-early', { fret, before }, 'strings.early-lift')];
  }

  function end(scene: Scene, { on, off, offStep }: SeatNote): Reason[] {
    if (!off || !offStep) return [];
    const { event } = offStep;
    const next = offStep.out.find((one) => one.type === 'on' && one.string === on.string);
    if (off.slurred) {
      const how = next?.type === 'on' ? next.how : '';
      const keys = how in SLURS ? [SLURS[how as keyof typeof SLURS]] : ['strings.late-fret'];
      return [reason('slurred', { how }, ...keys)];
    }
    if (next) return [reason('again', {})];
    if (event.type === 'wake') return [wakeReason(scene, on, offStep.t)];
    if (event.type === 'reset' || isPluck(event.pad)) return [];
    const fret = roles[event.pad]!.fret;
    if (event.type !== 'lift') return [reason('damped-fret', { fret }, 'strings.damp-by-fret')];
    return [reason('fret-lifted', { fret }, 'touch.lift', 'touch.off')];
  }

  function wakeReason({ rules, touches }: Scene, on: SeatNote['on'], t: Micros): Reason {
    const { ring, 'damp-by-hold': hold } = rules.strings;
    const held = touches.findLast(
      (one) => isPluck(one.pad) && roles[one.pad]!.string === on.string && isDownAt(one, t),
    );
    const since = held ? t - held.onset : 0;
    if (hold !== null && held && since >= hold) {
      return reason('damped-hold', { held: since }, 'strings.damp-by-hold');
    }
    if (t - on.t >= ring) return reason('rang', { after: t - on.t }, 'strings.ring');
    return reason('no-slide', {}, 'strings.slide-gap', 'strings.slide');
  }

  /** A fret on which no note came to sound. */
  function silent({ touches }: Scene, touch: TouchStory): { began: Reason[]; lifted: Reason[] } {
    const { pad, onset } = touch;
    const fret = fretOf(touch);
    const late = ['strings.late-fret', 'strings.wait-for-fret'] as const;
    const pluck = touches.findLast(
      (one) =>
        isPluck(one.pad) && roles[one.pad]!.string === roles[pad]!.string && one.onset < onset,
    );
    const after = pluck ? onset - pluck.onset : Infinity;
    return {
      began: [
        reason('fret-only', { fret }, 'strings.hammer-on'),
        ...(after <= FAR ? [perhaps('missed-late', { fret, after }, ...late)] : []),
        perhaps('left-to-pluck', { fret }, ...PLUCKED_AFTER),
      ],
      lifted: [perhaps('fret-lift', { fret }, SLURS.pull, SLURS.slide)],
    };
  }

  return {
    sounds: isPluck,
    placeOf: (pad) => roles[pad]?.string ?? null,
    none,
    silent,
    start,
    end,
  };
}

/** The step in which the playing logic was given a touch's strength. */
export function stepOf({ run }: Scene, { strike }: TouchStory) {
  return run.seen.steps.find(({ event }) => event === strike);
}
