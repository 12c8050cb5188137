import { isDeepStrictEqual } from 'node:util';
import { placeCount, padCount } from '../../instrument/instrument-pads.js';
import { padNames } from '../../instrument/pad-names.js';
import { isOnPage } from '../../instrument/room-from.js';
import type { Instrument, Rules } from '../../instrument/types.js';
import type { Misfit } from '../../calibration/build-fit.js';
import { swapped, type SeatPlan } from '../../pipeline.js';
import type { PlannedSeat } from '../../ports/connect.js';
import type { ReadySeat } from '../../ports/files/room.js';
import type { SeatMix } from '../../room/plan.js';
import type { WireEvent } from '../../wire/scan.js';
import type { SeatSize } from '../link/frames.js';
import type { SeatMemory } from '../link/memory.js';
import type { PageSeat, Plugged } from '../link/state.js';
import type { PagePlan, ThreadSeat } from './messages.js';
import { differentKeys, ruleValues, type RuleValues } from './try-rules.js';

function sizeOf(instrument: Instrument): SeatSize {
  return { pads: padCount(instrument), strings: placeCount(instrument) };
}

/** How a seat came to its place. */
export interface Place {
  /** Names this seat to pages; no other seat ever gets it. */
  readonly id: number;
  readonly slot: number;
  /** Makes memory for its levels. */
  readonly makeMemory: (size: SeatSize) => SeatMemory;
}

/** What pages are told of one seat, but for how it is mixed. */
export class HostSeat {
  readonly id: number;
  readonly slot: number;
  /** Where its levels are written: as many as its instrument has pads. */
  memory: SeatMemory;
  /** It has left the room. */
  gone = false;
  plugged: Plugged = 'waiting';
  plan: SeatPlan;
  /** How many times it was given other rules. */
  turns = 0;
  /** Why what was tried last was refused. */
  fault: string | null = null;
  build: string | null;
  /** Why its build cannot be that of the unit that plays; null: it fits. */
  misfit: Misfit['kind'] | null = null;
  #ready: ReadySeat;
  /** What it goes back to: the rules of a file. */
  #base: Rules;
  #trying: Rules | null = null;
  /** What the rules were asked for by. */
  #asked: { readonly rules: Rules; readonly name: string } | null = null;
  #kind: Instrument['kind'];
  #from: string;
  readonly #makeMemory: Place['makeMemory'];
  #values: { readonly of: Rules; readonly values: RuleValues } | null = null;

  /** @param from in a few words, where its readings come from */
  constructor({ ready, plan }: PlannedSeat, from: string, { id, slot, makeMemory }: Place) {
    this.id = id;
    this.slot = slot;
    this.#ready = ready;
    this.#from = from;
    this.plan = plan;
    this.#base = plan.rules;
    this.#kind = plan.instrument.kind;
    this.#makeMemory = makeMemory;
    this.memory = makeMemory(sizeOf(plan.instrument));
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

  /** All that its page thread needs. */
  get threadSeat(): ThreadSeat {
    const { id, slot, name, memory, pagePlan: plan } = this;
    return { id, slot, name, memory, plan };
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
        if (event.why !== 'lost' && event.why !== 'quiet') return null;
        if (this.plugged === 'waiting' || this.plugged === 'lost') return null;
        this.plugged = event.why === 'lost' ? 'lost' : 'silent';
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

  /** The files were read again. */
  update(ready: ReadySeat): void {
    if (isDeepStrictEqual(ready.rules, this.#base)) this.#base = ready.rules;
    this.#ready = ready;
    this.build = ready.seat.build;
  }

  /** Another instrument, or readings from elsewhere. */
  reseat({ ready, plan }: PlannedSeat, from: string): void {
    if (plan.rules !== this.plan.rules) this.#rulesCame(plan.rules);
    this.#ready = ready;
    this.#from = from;
    this.plan = plan;
    this.plugged = 'waiting';
    this.build = ready.seat.build;
    // Of the same size or not: what was read before is another board's.
    this.#refit();
  }

  /**
   * Has memory that fits its instrument.
   *
   * @returns whether it is other memory now, since the instrument has other pads than before
   */
  fit(): boolean {
    const { instrument } = this.plan;
    const size = sizeOf(instrument);
    const { pads, strings } = this.memory.slice;
    const fits = size.pads === pads && size.strings === strings && instrument.kind === this.#kind;
    if (fits) return false;
    this.#refit();
    return true;
  }

  #refit(): void {
    const { instrument } = this.plan;
    this.#kind = instrument.kind;
    this.memory = this.#makeMemory(sizeOf(instrument));
  }

  state(mix: SeatMix): PageSeat {
    const { rules, pads, made, instrument } = this.plan;
    if (this.#values?.of !== rules) this.#values = { of: rules, values: ruleValues(rules) };
    return {
      id: this.id,
      slot: this.slot,
      slice: this.memory.slice.slice,
      name: this.name,
      instrument,
      padNames: padNames(instrument),
      strings: placeCount(instrument),
      plugged: this.plugged,
      from: this.#from,
      screen: this.screen,
      raw: !pads.decided && made !== true,
      build: this.build,
      misfit: this.misfit,
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
