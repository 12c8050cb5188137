import type { Instrument, PitchClasses } from '../../instrument/types.js';
import type { Loudness } from '../../engine/builtin/output.js';
import type { Ceiling } from '../../instrument/ceiling.js';
import type { Misfit } from '../../calibration/build-fit.js';
import type { SeatMix } from '../../room/plan.js';
import type { Notice } from '../../ports/contracts.js';

/** Who is at a seat, as far as it was heard. */
export type Plugged = 'waiting' | 'here' | 'silent' | 'lost';

/** One seat, as pages see it. What changes many times a second is in the frames instead. */
export interface PageSeat {
  /** Names it in what pages ask for; another seat never gets it, not even one of the same name. */
  readonly id: number;
  /** Its number in voices while it plays; a seat that comes later may get it. */
  readonly slot: number;
  /** Its slice of the frames: another one when it gets an instrument with other pads. */
  readonly slice: number;
  readonly name: string;
  readonly instrument: Instrument;
  /** By pad, what the instrument calls it. */
  readonly padNames: readonly string[];
  /** How many strings, keys or drum pads can sound: a pipe has one. */
  readonly strings: number;
  /** `waiting`: nothing was heard yet; `silent`: it has stopped sending. */
  readonly plugged: Plugged;
  /** In a few words, where its readings come from. */
  readonly from: string;
  /** True where it is played on the page itself: `press`, `release` and `plug` do something. */
  readonly screen: boolean;
  /** False where the board decides itself what is a touch: nothing to wire or to calibrate. */
  readonly raw: boolean;
  /** The build's name; null: calibrated as it starts. */
  readonly build: string | null;
  /** Why the build cannot be that of the unit that plays; null: it fits, or nobody can tell. */
  readonly misfit: Misfit['kind'] | null;
  readonly mix: SeatMix;
  readonly rules: PageRules;
}

export interface PageRules {
  /** The rules file that the room names, or that was chosen last. */
  readonly name: string;
  /** Every key's value as a rules file writes it, as it plays now: `touch.lift` is `24ms`. */
  readonly values: Readonly<Record<string, string>>;
  /** The keys that were tried and not kept yet. */
  readonly tried: readonly string[];
  /** Why what was tried last was refused, with its fix; null: nothing was. */
  readonly fault: string | null;
}

/** One key of a rule set, for a control: what it takes and what the player notices. */
export interface RuleControl {
  /** Such as `strings.late-fret`. */
  readonly key: string;
  /** One sentence: what it does. */
  readonly about: string;
  readonly takes:
    | {
        readonly type: 'number';
        readonly least: number;
        readonly most: number | null;
        readonly whole: boolean;
      }
    | { readonly type: 'time'; readonly none: boolean }
    | { readonly type: 'choice'; readonly of: readonly string[] }
    | { readonly type: 'yes-no' }
    | { readonly type: 'text' };
  /** Which kinds of instruments it is of; null: all. */
  readonly kind: Instrument['kind'] | null;
}

/** How loud an engine is. What is −Infinity there, where nothing sounded, is null here, as JSON has it. */
export type PageLoudness = { readonly [Value in keyof Loudness]: number | null };

export interface PageEngine {
  /** Names it in what pages ask for; another engine never gets it. */
  readonly id: number;
  readonly name: string;
  /** False: it was turned off from a page, and is silent. */
  readonly on: boolean;
  /** null: it does not tell, or nothing was heard yet. */
  readonly loudness: PageLoudness | null;
  readonly ceiling: Ceiling | null;
}

/** What holds for the whole room. */
export interface PageRoom {
  readonly name: string;
  readonly voices: number;
  readonly scale: PitchClasses | null;
  readonly duck: number;
  /** Names of all rules files that can be chosen. */
  readonly rulesNames: readonly string[];
  readonly controls: readonly RuleControl[];
  /** False once the room has ended: nothing more will come. */
  readonly playing: boolean;
}

export interface PageNotice extends Notice {
  /** Counts up from 1. */
  readonly number: number;
  /** Milliseconds since 1970, by the service's clock. */
  readonly at: number;
}

/** A pad as `check` judges it, from what was heard of it lately. */
export interface PadVerdict {
  readonly pad: number;
  readonly name: string;
  /** `heard`: touched, but never alone, so that its signal cannot be judged yet. */
  readonly grade: 'good' | 'weak' | 'bad' | 'heard' | 'unheard';
  /** Signal to noise, by the published definition; null: not touched yet. */
  readonly ratio: number | null;
  /** What is wrong, probably why, and what to do next; none where it is good. */
  readonly findings: readonly {
    readonly what: string;
    readonly cause: string;
    readonly next: string;
  }[];
}

/** Guided steps: wiring and calibration, one at a time in the whole room. */
export interface PageGuide {
  readonly guide: 'wire' | 'calibrate';
  /** The seat's id. */
  readonly seat: number;
  /** `saving` until its build is written; `done`, `failed`: over, with words. */
  readonly phase: 'letting-go' | 'touching' | 'saving' | 'done' | 'failed';
  /** What to do now, one sentence. */
  readonly words: string;
  /** The pad that is asked for; null: none in particular. */
  readonly asked: number | null;
  /** Pads that are done, in the order in which they were. */
  readonly done: readonly number[];
  /** Pads that are to be done, in their order. */
  readonly order: readonly number[];
  /** Pads that are not fit, with a reason and a next step. */
  readonly unfit: readonly { readonly pad: number; readonly what: string; readonly next: string }[];
  /** Where the build was written, once it was. */
  readonly file: string | null;
}

export interface PageRecording {
  /** The seat's id; null: the whole room. */
  readonly seat: number | null;
  readonly file: string;
  /** Milliseconds since 1970. */
  readonly since: number;
  readonly scans: number;
}

/** A take that can be looked at. */
export interface PageTake {
  /** Names it in `/takes/NAME`. */
  readonly name: string;
  readonly bytes: number;
  /** Milliseconds since 1970. */
  readonly at: number;
  /** True where it is of a whole room. */
  readonly room: boolean;
}

/** All that every page is told. Each part is sent whole when it changes. */
export interface PageState {
  readonly room: PageRoom;
  /** In the order of the room file. */
  readonly seats: readonly PageSeat[];
  readonly engines: readonly PageEngine[];
  /** The latest hundred. */
  readonly notices: readonly PageNotice[];
  readonly guide: PageGuide | null;
  readonly recording: PageRecording | null;
  readonly takes: readonly PageTake[];
}
