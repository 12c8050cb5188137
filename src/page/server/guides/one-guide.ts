import { SECOND, type Micros } from '../../../time/micros.js';
import type { WireEvent } from '../../../wire/scan.js';
import type { PageGuide } from '../../link/state.js';
import { calibrateGuide } from './calibrate-guide.js';
import type { GuidedSeat, GuideKind, GuidesOut, GuideStep } from './guides.js';
import { sentences, type GuideEnd, type Guiding } from './guiding.js';
import { wireGuide } from './wire-guide.js';

/** A unit that is silent for so long is not there; one that is not touched for so long, nobody is at. */
const SILENT: Micros = 5 * SECOND;
const IDLE: Micros = 60 * SECOND;
const GIVEN_UP: Micros = 300 * SECOND;
/** A page that reloads is back sooner than this. */
const AWAY: Micros = 30 * SECOND;

const NO_READINGS =
  'No readings come from the unit: check its cable. Nothing is lost: the steps go on when they come.';
const NOT_TOUCHED = 'Nothing has been touched for a minute';
const GAVE_UP = 'Nothing was touched for five minutes, so nothing was written: begin again.';
const OTHER_FILE =
  'The instrument’s file was changed meanwhile, so nothing was written: begin again.';
const OVER = 'These steps are over: begin again.';

/** A guide from its beginning until it was written, or ended otherwise. */
export class OneGuide {
  readonly seat: number;
  readonly #kind: GuideKind;
  readonly #out: GuidesOut;
  readonly #guiding: Guiding;
  #end: GuideEnd | null = null;
  #file: string | null = null;
  #told = '';
  #t: Micros;
  #heard: Micros;
  #touched: Micros;
  /** Since when nobody can see it; NaN: somebody can. */
  #away = NaN;

  constructor(seat: number, kind: GuideKind, plan: GuidedSeat, t: Micros, out: GuidesOut) {
    this.seat = seat;
    this.#kind = kind;
    this.#out = out;
    this.#guiding = kind === 'wire' ? wireGuide(plan) : calibrateGuide(plan);
    [this.#t, this.#heard, this.#touched] = [t, t, t];
    this.#tell();
  }

  /** Whether it still wants readings. */
  get on(): boolean {
    return this.#end === null;
  }

  /** Whether a build of it is being written. */
  get saving(): boolean {
    return this.#end !== null && 'build' in this.#end && this.#file === null;
  }

  scan(event: WireEvent): void {
    if (!this.on) return;
    this.#t = Math.max(this.#t, event.t);
    if (event.type === 'scan' && event.inputs.length > 0) this.#heard = event.t;
    if (event.type === 'swap' && event.instrument) this.#fail(OTHER_FILE);
    else this.#guiding.next(event);
    this.#settle();
  }

  step(step: Exclude<GuideStep, 'end'>, t: Micros): string | null {
    if (!this.on) return OVER;
    this.#t = Math.max(this.#t, t);
    this.#touched = this.#t;
    const refused = this.#guiding.step(step, this.#t);
    this.#settle();
    return refused;
  }

  looked(on: boolean, t: Micros): void {
    this.#away = on ? NaN : Number.isNaN(this.#away) ? t : this.#away;
  }

  /** Returns whether it is to be forgotten, since nobody has looked for long. */
  wake(t: Micros): boolean {
    this.#t = Math.max(this.#t, t);
    if (this.#t - this.#away >= AWAY && !this.saving) return true;
    if (!this.on) return false;
    this.#guiding.tick(this.#t);
    if (this.#t - this.#lastTouched() >= GIVEN_UP) this.#fail(GAVE_UP);
    this.#settle();
    return false;
  }

  built(written: { readonly file: string } | { readonly fault: string }): void {
    if (!this.saving) return;
    if ('file' in written) this.#file = written.file;
    else this.#end = { fault: sentences('The build could not be written', written.fault) };
    this.#tell();
  }

  #fail(fault: string): void {
    this.#end ??= { fault };
  }

  #lastTouched(): Micros {
    const { touchedLast } = this.#guiding;
    if (touchedLast > this.#touched) this.#touched = touchedLast;
    return this.#touched;
  }

  #settle(): void {
    const ends = this.#end === null ? this.#guiding.end : null;
    if (ends) this.#end = ends;
    this.#tell();
    if (ends && 'build' in ends) this.#out.build(this.seat, ends.build);
  }

  #tell(): void {
    const now = this.#now();
    const told = JSON.stringify(now);
    if (told === this.#told) return;
    this.#told = told;
    this.#out.guide(now);
  }

  #now(): PageGuide {
    const { view, order } = this.#guiding;
    const [guide, seat, file] = [this.#kind, this.seat, this.#file];
    const same = { guide, seat, order, file, done: view.done };
    const end = this.#end;
    if (end === null) {
      const { phase, asked, unfit } = view;
      return { ...same, phase, asked, unfit, words: this.#words(view.words) };
    }
    if ('fault' in end) {
      return { ...same, phase: 'failed', asked: null, unfit: view.unfit, words: end.fault };
    }
    const phase = file === null ? 'saving' : 'done';
    return { ...same, phase, asked: null, unfit: end.unfit, words: sentences(end.words) };
  }

  #words(words: string): string {
    if (this.#t - this.#heard >= SILENT) return NO_READINGS;
    return this.#t - this.#lastTouched() >= IDLE ? sentences(NOT_TOUCHED, words) : words;
  }
}
