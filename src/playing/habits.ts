/**
 * How a player uses the two hands, learned from all strings of one seat. A share moves towards the
 * latest case each time.
 */
export interface Habits {
  /** The share of plucks without a fret ready whose fret came a little later. */
  late: number;
  /**
   * The shares of hammer-ons, pull-offs and slides whose fret was then plucked: the player only got
   * the fret ready. Each is a habit of its own: who hammers on may still pluck after every pull-off.
   */
  hammer: number;
  pull: number;
  slide: number;
}

export type Habit = keyof Habits;

/** How a habit is learned. */
interface Learning {
  /** The latest case counts for one part in so many. */
  readonly memory: number;
  /** The share from which it counts as a habit. */
  readonly often: number;
}

/**
 * One pluck after a slur makes the next one of its kind wait. Three without a pluck undo a habit,
 * however long it was kept to.
 */
const PLUCKED: Learning = { memory: 3, often: 0.3 };

const HABITS: Readonly<Record<Habit, Learning>> = {
  /** One late fret makes the next three plucks wait. */
  late: { memory: 6, often: 0.1 },
  hammer: PLUCKED,
  pull: PLUCKED,
  slide: PLUCKED,
};

export function newHabits(): Habits {
  return { late: 0, hammer: 0, pull: 0, slide: 0 };
}

export function learnHabit(habits: Habits, habit: Habit, happened: boolean): void {
  habits[habit] += ((happened ? 1 : 0) - habits[habit]) / HABITS[habit].memory;
}

/** Whether the player does so often, by `rule`: what the rules say of it. */
export function expects(habits: Habits, habit: Habit, rule: 'never' | 'often' | 'always'): boolean {
  return rule === 'always' || (rule === 'often' && habits[habit] >= HABITS[habit].often);
}
