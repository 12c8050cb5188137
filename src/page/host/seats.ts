import { isDeepStrictEqual } from 'node:util';
import { placeCount, padCount } from '../../instrument/instrument-pads.js';
import { padNames } from '../../instrument/pad-names.js';
import { isOnPage } from '../../instrument/room-from.js';
import type { Instrument, Rules } from '../../instrument/types.js';
import { swapped, type SeatPlan } from '../../pipeline.js';
import type { PlannedSeat } from '../../ports/connect.js';
import type { ReadySeat } from '../../ports/files-room.js';
import type { SeatMix } from '../../room/plan.js';
import type { WireEvent } from '../../wire/scan.js';
import type { SeatSize } from '../link/frames.js';
import type { PageSeat, Plugged } from '../link/state.js';
import type { PagePlan } from './messages.js';
import { differentKeys, ruleValues, type RuleValues } from './try-rules.js';

export function sizeOf(instrument: Instrument): SeatSize {
  return { pads: padCount(instrument), strings: placeCount(instrument) };
}

/** What pages are told of one seat, but for how it is mixed. */
export class HostSeat {
  plugged: Plugged = 'waiting';
  plan: SeatPlan;
  /** How many times it was given other rules. */
  turns = 0;
  /** Why what was tried last was refused. */
  fault: string | null = null;
  build: string | null;
  #ready: ReadySeat;
  /** What it goes back to: the rules of a file. */
  #base: Rules;
  #trying: Rules | null = null;
  /** What the rules were asked for by. */
  #asked: { readonly rules: Rules; readonly name: string } | null = null;
  #instrument: Instrument;
  #values: { readonly of: Rules; readonly values: RuleValues } | null = null;

  /** @param from in a few words, where its readings come from */
  constructor(
    { ready, plan }: PlannedSeat,
    readonly from: string,
  ) {
    this.#ready = ready;
    this.plan = plan;
    this.#base = plan.rules;
    this.#instrument = plan.instrument;
    this.build = ready.seat.build;
  }

  get name(): string {
    return this.#ready.seat.name;
  }

  get screen(): boolean {
    return isOnPage(this.#ready.seat.from);
  }

  get base(): Rules {
    return this.#base;
  }

  get tried(): readonly string[] {
    return this.#trying ? differentKeys(this.#base, this.#trying) : [];
  }

  /** The name of the rules file that it plays by, or by which what is tried began. */
  get rulesName(): string {
    const { seat, rules, choices } = this.#ready;
    if (this.#base === this.#asked?.rules) return this.#asked.name;
    if (this.#base === rules) return seat.rules;
    return choices.find((choice) => choice.rules === this.#base)?.name ?? this.#base.name;
  }

  /** The rules that the room lists for it to switch to. */
  get choiceNames(): readonly string[] {
    return this.#ready.choices.map(({ name }) => name);
  }

  /** What its page thread needs of the plan. */
  get pagePlan(): PagePlan {
    const { instrument, pads, rules, made } = this.plan;
    return { instrument, pads, rules, ...(made === undefined ? {} : { made }) };
  }

  /**
   * Sees all that comes in.
   *
   * @returns what of it pages must be told of: that it was heard or lost, or plays by other files
   */
  saw(event: WireEvent): 'plugged' | 'swap' | null {
    switch (event.type) {
      case 'scan':
      case 'played':
        if (this.plugged === 'here') return null;
        this.plugged = 'here';
        return 'plugged';
      case 'reset':
        if (event.why !== 'lost' || this.plugged !== 'here') return null;
        this.plugged = 'lost';
        return 'plugged';
      case 'swap':
        this.plan = swapped(this.plan, event)?.plan ?? this.plan;
        if (event.rules) this.#rulesCame(event.rules);
        return 'swap';
    }
  }

  #rulesCame(rules: Rules): void {
    this.turns += 1;
    if (rules === this.#trying) return;
    this.#base = rules;
    this.#trying = null;
    this.fault = null;
  }

  /** These are only tried: what they differ from stays what it goes back to. */
  trying(rules: Rules): void {
    this.#trying = rules;
    this.fault = null;
  }

  /** The rules that it plays by now were asked for by this name. */
  askedFor(name: string): void {
    this.#asked = { rules: this.#base, name };
  }

  /** The files were read anew. */
  update(ready: ReadySeat): void {
    if (isDeepStrictEqual(ready.rules, this.#base)) this.#base = ready.rules;
    this.#ready = ready;
    this.build = ready.seat.build;
  }

  /**
   * The instrument that pages draw. One of another size is drawn when the room is played anew, since
   * the memory of its levels is for this one.
   */
  get drawn(): Instrument {
    const { instrument } = this.plan;
    if (isDeepStrictEqual(sizeOf(instrument), sizeOf(this.#instrument))) {
      this.#instrument = instrument;
    }
    return this.#instrument;
  }

  /** It plays another instrument than is drawn. */
  get outgrown(): boolean {
    return this.drawn !== this.plan.instrument;
  }

  state(mix: SeatMix): PageSeat {
    const { rules, pads, made } = this.plan;
    const instrument = this.drawn;
    if (this.#values?.of !== rules) this.#values = { of: rules, values: ruleValues(rules) };
    return {
      name: this.name,
      instrument,
      padNames: padNames(instrument),
      strings: placeCount(instrument),
      plugged: this.plugged,
      from: this.from,
      screen: this.screen,
      raw: !pads.decided && made !== true,
      build: this.build,
      mix,
      rules: {
        name: this.rulesName,
        values: this.#values.values,
        tried: this.tried,
        fault: this.fault,
      },
    };
  }
}
