import type { Instrument } from '../../instrument/types.js';
import { LEARN_FOR } from '../../pads/learn.js';
import type { PadsPlan } from '../../pads/plan.js';
import { NEVER, SECOND, type Micros } from '../../time/micros.js';
import type { WireEvent } from '../../wire/scan.js';
import {
  isSteady,
  life,
  type Heard,
  type LifeState,
  type Sign,
  type Steadiness,
} from '../../wire/steady.js';
import type { Notice } from '../contracts.js';
import { inputsSeen, type InputsSeen } from './inputs-seen.js';

/** A seat that is listened to. */
export interface AttendedSeat {
  /** Its slot. */
  readonly seat: number;
  readonly name: string;
  readonly steady: Steadiness;
  /** Where it listens, and what to check where nothing comes; null: it needs no board. */
  readonly listens: { readonly at: string; readonly check: string } | null;
  /** A stop is told after so long at the earliest: something else may tell better what has happened. */
  readonly patience: Micros;
  readonly instrument: Instrument;
  readonly pads: PadsPlan;
  /** It is played: say when it has calibrated itself, and whether what comes fits its pads. */
  readonly played: boolean;
  /** It is attended to again, and plays on as it has calibrated itself before. */
  readonly calibrated: boolean;
}

/** What people should know of a seat; each is told once. */
export type SeatNews = 'silent' | 'back' | 'unheard' | 'came' | 'ready';

/** When it is told that nothing has come from a seat yet. */
const UNHEARD: Micros = 2 * SECOND;
/** A seat that falls silent again is told no sooner than this after the last time. */
const PAUSE: Micros = 10 * SECOND;

/** What was heard of one seat, and what there is to tell of it. Times are listening time. */
export class Attended {
  /** Another computer hands the seat on, and says itself when it stops. */
  handed = false;
  /** How often its silence was told. */
  times = 0;
  readonly #stage;
  #life: LifeState;
  #wake: Micros = NEVER;
  #heard: 'no' | 'missed' | 'yes' = 'no';
  /** When its own calibration is over; NEVER where it has not begun. */
  #ready: Micros = NEVER;
  #isReady: boolean;
  #silentSince: Micros = NEVER;
  #told = false;
  #toldAt: Micros = -PAUSE;
  #inputs: InputsSeen | null = null;
  readonly #news = new Set<SeatNews>();

  /** @param emit where its events go */
  constructor(
    readonly of: AttendedSeat,
    readonly emit: (event: WireEvent) => void,
    readonly onChange: (seat: Attended, change: 'quiet' | 'back') => void,
    readonly since: Micros,
  ) {
    this.#stage = life(of.steady);
    this.#life = this.#stage.begin();
    this.#isReady = of.calibrated || !this.#calibrates;
  }

  get silent(): boolean {
    return this.#silentSince !== NEVER;
  }

  get steady(): boolean {
    return isSteady(this.#life, this.of.steady);
  }

  get #calibrates(): boolean {
    const { played, pads } = this.of;
    return played && pads.build === null && !pads.decided;
  }

  /** Something came of its source. */
  saw(event: WireEvent, t: Micros): void {
    if (event.type === 'reset') {
      if (event.why === 'lost') this.#begin();
      return;
    }
    if (event.type === 'swap') return;
    if (this.#heard === 'missed') this.#news.add('came');
    this.#heard = 'yes';
    if (!this.handed) this.#step({ type: 'heard', t });
    if (event.type !== 'scan' || event.inputs.length === 0) return;
    if (!this.#isReady) this.#calibrate(event.t);
    if (!this.of.played) return;
    this.#inputs ??= inputsSeen(this.of.instrument, this.of.pads, t);
    this.#inputs.see(event.inputs);
  }

  /** Its board is heard, and what is wrong is told by whoever could not read it. */
  unread(): void {
    if (this.#heard === 'no') this.#heard = 'yes';
  }

  #calibrate(t: Micros): void {
    if (this.#ready === NEVER) this.#ready = t + LEARN_FOR;
    if (t < this.#ready) return;
    this.#isReady = true;
    this.#news.add('ready');
  }

  sign(t: Micros, sensing: boolean): void {
    this.#step({ type: 'sign', t, sensing });
  }

  #step(event: Heard | Sign | { readonly type: 'wake'; readonly t: Micros }): void {
    const outcome = this.#stage.step(this.#life, event);
    this.#life = outcome.state;
    this.#wake = outcome.wake;
    for (const { type, t } of outcome.out) {
      if (type === 'quiet') this.#silentSince = t;
      else this.#isBack();
      this.onChange(this, type);
    }
  }

  #isBack(): void {
    this.#silentSince = NEVER;
    if (this.#told) this.#news.add('back');
    this.#told = false;
  }

  /** What comes next may be another unit. */
  #begin(): void {
    this.#life = this.#stage.begin();
    this.#wake = NEVER;
    this.#silentSince = NEVER;
    this.#told = false;
    this.#ready = NEVER;
    this.#isReady = !this.#calibrates;
    this.#inputs = null;
    this.#news.clear();
  }

  /** To be called steadily. */
  look(t: Micros): void {
    if (t >= this.#wake) this.#step({ type: 'wake', t });
    if (this.#heard === 'no' && this.of.listens && t - this.since >= UNHEARD) {
      this.#heard = 'missed';
      this.#news.add('unheard');
    }
    const { patience } = this.of;
    if (this.#told || t - this.#silentSince < patience || t - this.#toldAt < PAUSE) return;
    this.#told = true;
    this.#toldAt = t;
    this.times += 1;
    this.#news.add('silent');
  }

  /** Takes what there is to tell. */
  takeNews(): readonly SeatNews[] {
    if (this.#news.size === 0) return [];
    const news = [...this.#news];
    this.#news.clear();
    return news;
  }

  /** Takes what does not fit about the inputs that came. */
  takeMisfit(t: Micros): Omit<Notice, 'level' | 'where'> | null {
    const found = this.#inputs?.look(t, this.steady) ?? null;
    if (found === null) return null;
    this.#inputs = NOT_LOOKED_AT;
    return found === 'fit' ? null : found;
  }
}

const NOT_LOOKED_AT: InputsSeen = { see: () => undefined, look: () => null };
