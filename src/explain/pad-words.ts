import type { Explanation } from './explain.js';
import type { PadStory } from './pads.js';
import { overAt, type TouchStory } from './touches.js';
import type { PadSample } from './watch.js';
import { formatDuration } from '../time/micros.js';
import { spanWords, timeWords } from '../compare/words.js';

const two = (level: number): string => level.toFixed(2);

/** By which rules a pad counts as touched. */
export function rulesWords({ rules: { touch } }: Explanation): string {
  const { on, off, lift } = touch;
  return `touched from touch.on ${String(on)}, let go under touch.off ${String(off)} for touch.lift ${lift === 0 ? '0ms' : formatDuration(lift)}`;
}

/** What a pad was read at, and what was made of it; no full stops. */
export function padSentences(pad: PadStory, explained: Explanation): string[] {
  const { peak } = pad;
  const read = peak ? [readingWords(peak, explained)] : ['no reading came in this time'];
  const limits = peak && !explained.decided ? limitWords(peak, explained) : [];
  const near = pad.near.flatMap(({ why, sample: { t, level, on } }) =>
    why === 'under-on'
      ? [`no touch at ${timeWords(t)}: level ${two(level)} stayed under ${two(on)}`]
      : [],
  );
  const touches = pad.touches.flatMap((one) => touchWords(one, explained));
  return [...read, ...limits, ...near, ...touches];
}

function readingWords(peak: PadSample, { decided }: Explanation): string {
  const { t, raw, rest, span, read, level, state } = peak;
  const at = `at ${timeWords(t)}`;
  if (decided) return `the board sent ${String(raw)} ${at}; it decides itself what is a touch`;
  if (state === 'learning') return `raw ${String(raw)} ${at}; its rest was still being watched`;
  const scale = `rest ${rest.toFixed(0)}, full touch ${span < 0 ? '' : '+'}${span.toFixed(0)}`;
  const off = read - level;
  const neighbours =
    Math.abs(off) < 0.005 ? '' : `, once ${two(off)} that neighbours put on it is taken off`;
  return `highest ${at}: raw ${String(raw)} (${scale}) is level ${two(level)}${neighbours}`;
}

function limitWords({ on, off, noise }: PadSample, { rules }: Explanation): string[] {
  const { touch } = rules;
  if (on <= touch.on + 1e-9) return [];
  return [
    `noise of ${noise.toFixed(3)} raises touch.on ${String(touch.on)} to ${two(on)} and touch.off ${String(touch.off)} to ${two(off)}`,
  ];
}

function touchWords(touch: TouchStory, explained: Explanation): string[] {
  const { onset, strike, rise, bounces } = touch;
  const { rules, decided, from } = explained;
  const began = `touched ${onset < from ? 'since' : 'at'} ${timeWords(onset)}`;
  const readings = rise.map(two).join(', ');
  const count = decided ? '' : ` (strength.readings ${String(rules.strength.readings)})`;
  const strength = strike
    ? `confirmed at ${timeWords(strike.t)}: strength ${two(strike.strength)} from ${decided ? 'what it sent' : `level ${two(strike.reach)}, by the readings ${readings}`}${count}`
    : touch.lift === null
      ? 'not confirmed'
      : `gone before it was confirmed: readings ${readings}`;
  const came = strike && strike.landing > 0 ? `, seen coming for ${spanWords(strike.landing)}` : '';
  const early = onset < from ? [began] : [`${began}${came}; ${strength}`];
  const back = bounces
    .filter((one) => one.to >= from)
    .map((one) => `contact lost for ${spanWords(one.to - one.from)} at ${timeWords(one.from)}`);
  return [...early, ...back, endWords(touch, explained)];
}

function endWords(touch: TouchStory, { to }: Explanation): string {
  const { loose, lift, dropped } = touch;
  if (lift !== null && loose !== null && lift > loose) {
    return `let go at ${timeWords(loose)}, sure ${spanWords(lift - loose)} later`;
  }
  if (lift !== null) return `let go at ${timeWords(lift)}`;
  if (dropped !== null && dropped <= to) return `ended from outside at ${timeWords(dropped)}`;
  return overAt(touch) > to ? 'still touched after that' : '';
}
