import { padNames } from '../instrument/pad-names.js';
import { fitWatch, insteadOf, type FitWatch, type Misfit } from '../calibration/build-fit.js';
import { misfitWords } from '../calibration/build-fit-words.js';
import { swapped, type Join, type SeatPlan } from '../pipeline.js';
import type { Leave } from '../room/seating.js';
import type { Seated } from '../time/alongside.js';
import type { Swap, WireEvent } from '../wire/scan.js';
import type { Tell } from './contracts.js';

/** A seat whose build is looked at. */
export interface GuardedSeat {
  readonly name: string;
  /** The build's name; null: it has none. */
  readonly build: string | null;
  readonly plan: SeatPlan;
}

export interface BuildGuardOptions {
  /** The room's name, for what to do next. */
  readonly room: string;
  readonly tell: Tell;
  /** Has a seat play by other files from now on. */
  readonly swap: (seat: number, files: Omit<Swap, 'type' | 't'>) => void;
  /** Told of each change; null: the build fits, or another one is looked at now. */
  readonly onFit?: (seat: number, misfit: Misfit['kind'] | null) => void;
}

/** Notices builds that are not of the unit that plays. */
export interface BuildGuard {
  /** A seat plays in this slot from now on; null: nobody does. */
  seat(slot: number, seat: GuardedSeat | null): void;
  /** Sees who joins and leaves while the room plays. */
  seating(event: Join | Leave): void;
  /** The seat in this slot has a build of another name from now on, or none. */
  named(slot: number, build: string | null): void;
  /** Sees all that comes in, before it is played. */
  reading(event: Seated<WireEvent>): void;
}

/**
 * Compares each unit's first readings with its build, as it starts and whenever it was plugged in again.
 * Where the whole build cannot be right, the seat plays by what can be made of it (`insteadOf`), so that
 * nobody has to wait; its own build comes back with the next unit that is plugged in. After the first moment it
 * costs a look at what kind of event comes.
 */
export function buildGuard(options: BuildGuardOptions): BuildGuard {
  const { swap, onFit = () => undefined } = options;
  const seats: (SeatGuard | null)[] = [];
  const guard = (slot: number, seat: GuardedSeat): SeatGuard =>
    new SeatGuard(slot, seat, { ...options, swap, onFit });
  return {
    seat(slot, seat) {
      seats[slot] = seat && guard(slot, seat);
    },
    seating(event) {
      const { seat: slot } = event;
      seats[slot] = event.type === 'join' ? guard(slot, { ...event, build: event.name }) : null;
    },
    named(slot, build) {
      const seat = seats[slot];
      if (seat) seat.build = build;
    },
    reading({ seat, event }) {
      seats[seat]?.see(event);
    },
  };
}

class SeatGuard {
  build: string | null;
  #plan: SeatPlan;
  /** What is looked at now; null: it was judged, or nothing can be. */
  #watch: FitWatch | null;
  /** What it plays by in place of its build; null: it plays by its build. */
  #instead: ReturnType<typeof insteadOf> = null;
  #swapping = false;
  #misfit: Misfit['kind'] | null = null;
  /** What people were told last: each once. */
  #told: Misfit['kind'] | null = null;

  constructor(
    private readonly slot: number,
    private readonly seat: GuardedSeat,
    private readonly options: Required<BuildGuardOptions>,
  ) {
    this.build = seat.build;
    this.#plan = seat.plan;
    this.#watch = this.#begin();
  }

  see(event: WireEvent): void {
    switch (event.type) {
      case 'scan': {
        const judged = this.#watch?.scan(event) ?? null;
        if (judged !== null) this.#judged(judged);
        return;
      }
      case 'swap':
        this.#swapped(event);
        return;
      case 'reset':
        // What comes back may be another unit.
        if (event.why === 'lost') this.#again();
        else if (event.why === 'quiet' && this.#instead === null) this.#watch = this.#begin();
        return;
      case 'played':
        return;
    }
  }

  #begin(): FitWatch | null {
    const { made = false, pads } = this.#plan;
    return made ? null : fitWatch(pads);
  }

  #again(): void {
    this.#watch = this.#begin();
    if (this.#instead === null) return;
    this.#instead = null;
    const { build } = this.#plan.pads;
    this.#later({ build });
  }

  #swapped(event: Swap): void {
    if (event.build === undefined && event.instrument === undefined) {
      this.#plan = swapped(this.#plan, event)?.plan ?? this.#plan;
      return;
    }
    // Its own, there and back, by which the build that is guarded stays as it is.
    if (this.#swapping) return;
    this.#plan = swapped(this.#plan, event)?.plan ?? this.#plan;
    this.#instead = null;
    this.#told = null;
    this.#set(null);
    this.#watch = this.#begin();
  }

  #judged(judged: Misfit | 'fits'): void {
    this.#watch = null;
    if (judged === 'fits') {
      if (this.#told !== null) this.#tellFits();
      this.#told = null;
      this.#set(null);
      return;
    }
    this.#set(judged.kind);
    if (this.#told !== judged.kind) this.#tell(judged);
    this.#told = judged.kind;
    this.#instead = insteadOf(judged, this.#plan.pads.build!);
    if (this.#instead) this.#later(this.#instead);
  }

  #set(misfit: Misfit['kind'] | null): void {
    if (misfit === this.#misfit) return;
    this.#misfit = misfit;
    this.options.onFit(this.slot, misfit);
  }

  /** Not while an event is on its way: what it asks for comes after it. */
  #later(files: Omit<Swap, 'type' | 't'>): void {
    queueMicrotask(() => {
      this.#swapping = true;
      try {
        this.options.swap(this.slot, files);
      } finally {
        this.#swapping = false;
      }
    });
  }

  #tell(misfit: Misfit): void {
    const { build } = this;
    const { name } = this.seat;
    const { room, tell } = this.options;
    const names = padNames(this.#plan.instrument);
    const words = misfitWords(misfit, build ?? name, names, `${room} --seat ${name}`);
    tell({ level: 'warn', ...words, where: `seat ${name}` });
  }

  #tellFits(): void {
    const { build } = this;
    const { name } = this.seat;
    const what = `build "${build ?? name}" fits the unit that plays now`;
    this.options.tell({ level: 'info', what, where: `seat ${name}` });
  }
}
