import { STUCK } from './touch.js';
import type { WiredBuild } from './build.js';
import type { Asked, WireEnd, WireNotice } from './notice.js';
import { SECOND } from '../time/micros.js';

/** What the words depend on. */
export interface WireTalk {
  readonly names: readonly string[];
  /** How a person takes back and skips: by keys of a terminal, by buttons of the page, or by touches alone. */
  readonly by: 'keys' | 'buttons' | 'touches';
  readonly live: boolean;
}

/** What happened, and what to do next. */
export interface WireWords {
  readonly level: 'info' | 'warn';
  readonly what: string;
  readonly next?: string;
}

const HOLD_IT = 'touch the last one again and hold it for 2 s';
const TAKE_BACK = { keys: 'press u', buttons: 'press Undo', touches: HOLD_IT } as const;
const SKIP = {
  keys: 'press s to skip it',
  buttons: 'press Skip',
  touches: 'stop, and name it with --skip',
} as const;

/** `Touch: G2 fret 1 (1 of 20)` */
function askWords({ pad, number, of }: Asked, names: readonly string[]): string {
  return `Touch: ${nameOf(names, pad)} (${String(number)} of ${String(of)})`;
}

function nameOf(names: readonly string[], pad: number): string {
  return names[pad] ?? `pad ${String(pad)}`;
}

/** What to tell a person, or null at the end, which has its own words. */
export function wireWords(notice: WireNotice, talk: WireTalk): WireWords | null {
  const { names, by, live } = talk;
  const back = TAKE_BACK[by];
  const next = nextWords(notice.ask, talk);
  // Whoever made a take is not there to be asked.
  const then = live ? { next } : {};
  const say = (what: string): WireWords => ({ level: 'info', what, ...then });
  const warn = (what: string): WireWords => ({ level: 'warn', what, ...then });
  switch (notice.type) {
    case 'ask':
      return { level: 'info', what: next };
    case 'wired':
      return say(`Input ${String(notice.input)} is ${nameOf(names, notice.pad)}`);
    case 'already':
      return warn(
        `That is input ${String(notice.input)}, already ${nameOf(names, notice.pad)}: touch the next one, or ${back} to take back`,
      );
    case 'skipped':
      return say(`${nameOf(names, notice.pad)} is skipped: it gets no input`);
    case 'back': {
      const { answer, ask } = notice;
      // Without a pad that is asked for, rests are still being learned.
      const more = ask ? then : { next: 'Let go of all pads' };
      if (!answer) return { level: 'info', what: 'There is nothing to take back', ...more };
      const of = answer.input === null ? '' : ` (input ${String(answer.input)})`;
      const what = `Taken back: ${nameOf(names, answer.pad)}${of}`;
      return { level: 'info', what, ...more };
    }
    case 'dropped':
      return say(`This touch of input ${String(notice.input)} does not count`);
    case 'spare':
      return say(`Input ${String(notice.input)} has no pad: all of them have their input already`);
    case 'stuck':
      return warn(
        `Input ${String(notice.input)} has been touched for ${String(STUCK / SECOND)} s, which is no touch: let go of all pads; if nobody touches it, look for a short circuit`,
      );
    case 'unclear':
      return warn(
        `Inputs ${notice.inputs.map(String).join(' and ')} moved at once: touch one pad alone, with one finger`,
      );
    case 'remind':
      return reminder(notice.touching, next, by);
    case 'lost':
      return {
        level: 'warn',
        what: 'The unit went away; what was learned so far is kept in mind',
        next: 'Let go of all pads until it is back',
      };
    case 'kept':
    case 'left':
      return null;
  }
}

function nextWords(ask: Asked | null, { names, by }: WireTalk): string {
  if (ask) return askWords(ask, names);
  const back = by === 'touches' ? HOLD_IT : `${TAKE_BACK[by]}, or ${HOLD_IT}`;
  return `All pads have had their turn. To take the last one back, ${back}; otherwise it is kept in a moment`;
}

function reminder(touching: number | null, next: string, by: WireTalk['by']): WireWords {
  if (touching !== null) return { level: 'info', what: `Input ${String(touching)}: let go` };
  return {
    level: 'info',
    what: next,
    next: `If nothing happens when you touch it, its wire is loose: fix it, or ${SKIP[by]}`,
  };
}

/** The whole table, in the order in which the pads were asked for, then inputs without a pad. */
export function wiringTable(
  { answers }: WireEnd,
  wiring: readonly (number | null)[],
  order: readonly number[],
  names: readonly string[],
): string[] {
  const width = Math.max(...order.map((pad) => nameOf(names, pad).length));
  const lines = order.map((pad) => {
    const input = answers.find((answer) => answer.pad === pad)?.input ?? null;
    const wire = input === null ? 'no input' : `input ${String(input)}`;
    return `${nameOf(names, pad).padEnd(width)}  pad ${String(pad).padEnd(3)}  ${wire}`;
  });
  const spare = wiring.flatMap((pad, input) => (pad === null ? [String(input)] : []));
  if (spare.length === 0) return lines;
  const list = spare.length > 24 ? `${spare.slice(0, 24).join(', ')}, …` : spare.join(', ');
  return [...lines, `without a pad: input ${list}`];
}

/** The printed order in words, such as `G2 fret 1, G2 fret 2, …`. */
export function orderWords(order: readonly number[], names: readonly string[]): string {
  return order.map((pad) => nameOf(names, pad)).join(', ');
}

/** Where the calibration of a build whose wiring was learned comes from. */
export const CALIBRATION_WORDS: Readonly<Record<WiredBuild['calibration'], string>> = {
  kept: 'The wiring is as it was, so the old calibration was kept',
  completed:
    'The wiring is as it was, so the old calibration was kept; pads that it lacked were calibrated from these touches',
  made: 'It was calibrated from these touches',
  unneeded: 'It needs no calibration: its board decides itself what is a touch',
};
