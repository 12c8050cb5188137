import { padNames } from '../../instrument/pad-names.js';
import { begin, string } from '../../compare/match.js';
import type { Curve } from '../../compare/levels.js';
import type { ListedNote } from '../../takes/read-notes.js';
import { SECOND, type Micros } from '../../time/micros.js';
import { element, escaped } from '../check/svg.js';
import { curveChunks, levelAt, ROW, seconds } from './curves.js';
import { lane, wantedLane } from './lanes.js';
import { placesOf, type Place } from '../../compare/places.js';
import { placeOfAsked, type Comparison, type Numbered, type Window } from '../../compare/run.js';

/** A page holds at most this much of a take to either side of what is looked at: browsers bear no more. */
const AROUND: Micros = 300 * SECOND;

/** The part of a take that a page holds, in whole seconds. */
export function heldPart({ from, to }: Window, length: Micros): Window {
  const whole = (t: Micros): Micros => Math.floor(t / SECOND) * SECOND;
  return {
    from: whole(Math.max(0, from - AROUND)),
    to: whole(Math.min(Math.max(length, to), to + AROUND)) + SECOND,
  };
}

/**
 * Levels of all pads over time, with the notes of both sides under those that made them.
 *
 * @param curves the levels, by pad number
 */
export function timeView(
  comparison: Comparison,
  numbered: readonly Numbered[],
  window: Window,
  held: Window,
  curves: readonly Curve[],
): string {
  const { instrument } = comparison;
  const names = padNames(instrument);
  const inside = (t: Micros): boolean => t >= held.from && t < held.to;
  const shown = numbered.filter(({ one }) => inside(begin(one)));
  const wanted = comparison.wanted?.filter(({ onset }) => inside(onset)) ?? null;
  const groups = placesOf(instrument).map((place, index) => {
    const own = shown.filter(({ one }) => string(one) === index);
    const asked = wanted?.filter((note) => placeOfAsked(note, comparison) === index) ?? null;
    const words = (from: Micros, to: Micros): string =>
      `Levels of ${place.pads.map((pad) => names[pad] ?? '').join(', ')} from ${seconds(from)} to ${seconds(to)} seconds`;
    const levels = curveChunks(
      place.pads.map((pad) => curves[pad]!),
      held.from,
      held.to,
      words,
    );
    return group(place, names, levels, own, asked, comparison);
  });
  const style = [
    `--t0:${seconds(held.from)}`,
    `--held:${seconds(held.to - held.from)}`,
    `--from:${seconds(window.from)}`,
    `--span:${seconds(window.to - window.from)}`,
  ].join(';');
  return element(
    'div',
    {
      id: 'view',
      class: 'view',
      tabindex: 0,
      role: 'region',
      'aria-label': 'Levels and notes over time',
    },
    element('div', { id: 'sheet', class: 'sheet', style }, ruler(held), ...groups),
  );
}

function group(
  place: Place,
  names: readonly string[],
  levels: string,
  notes: readonly Numbered[],
  wanted: readonly ListedNote[] | null,
  { instrument, a, b }: Comparison,
): string {
  const name = (text: string, kind: string): string =>
    element('div', { class: `name ${kind}` }, escaped(text));
  const time = (kind: string, content: string): string => element('div', { class: kind }, content);
  return element(
    'div',
    { class: 'group', role: 'group', 'aria-label': place.name },
    element(
      'div',
      { class: 'names' },
      ...place.pads.map((pad) => name(names[pad] ?? `pad ${String(pad)}`, 'pad')),
      ...(wanted ? [name('wanted', 'side')] : []),
      name(`A ${a.name}`, 'side'),
      name(`B ${b.name}`, 'side'),
    ),
    element(
      'div',
      { class: 'time' },
      element(
        'div',
        { class: 'levels', style: `height:${String(place.pads.length * ROW)}px` },
        ...place.pads.map((_, row) =>
          thresholds(row, a.plan.rules.touch.on, b.plan.rules.touch.on),
        ),
        levels,
      ),
      ...(wanted ? [time('lane wants', wantedLane(wanted, instrument))] : []),
      time('lane a', lane('a', notes, instrument)),
      time('lane b', lane('b', notes, instrument)),
    ),
  );
}

/** Where a touch begins by the rules of A, and by those of B where that is elsewhere. */
function thresholds(row: number, a: number, b: number): string {
  const one = (level: number, kind: string): string =>
    element('div', {
      class: `threshold ${kind}`,
      style: `top:${(row * ROW + levelAt(level)).toFixed(1)}px`,
    });
  return a === b ? one(a, 'of-a') : one(a, 'of-a') + one(b, 'of-b');
}

function ruler({ from, to }: Window): string {
  const count = Math.round((to - from) / SECOND);
  const ticks = Array.from({ length: count }, (_, i) => {
    const second = from / SECOND + i;
    return element(
      'span',
      { class: 'tick', 'data-s': second, style: `--t:${String(second)}` },
      `${String(second)} s`,
    );
  });
  return element(
    'div',
    { class: 'group ruler', 'aria-hidden': 'true' },
    element('div', { class: 'names' }, element('div', { class: 'name' }, 'time')),
    element('div', { class: 'time' }, ...ticks),
  );
}
