import { setFlagsFromString } from 'node:v8';
import { runInNewContext } from 'node:vm';

/** What became of a lot of bad input. */
export interface Fed {
  /** How many were fed: bytes, datagrams or files. */
  readonly count: number;
  /** How often each thing came of them, such as `notes` or `refused`. */
  readonly outcomes: Readonly<Record<string, number>>;
  /** The processor's time that the slowest hundred took together, in ms, and the last of them. */
  readonly slowest: { readonly ms: number; readonly which: string };
  /** By how much the memory in use grew from a tenth of the way to the end, in MB. */
  readonly grown: number;
  /** Broken promises, in words, each with what it takes to see it again; the first few. */
  readonly broken: readonly string[];
}

/** Feeds so much bad input, the same for the same seed. `progress` is told now and then how much was fed. */
export type Feed = (
  seed: number,
  count: number,
  progress?: (count: number) => void,
) => Promise<Fed>;

/** So many inputs are timed together. */
const TOGETHER = 100;
/** So long they may hold the processor up, in ms: more than any need, less than a lesson notices. */
const LONGEST_MS = 1_000;
/** So much may be in use at the end that was not at a tenth of the way, in MB: caches fill. */
const MOST_GROWN = 24;
const MOST_TOLD = 5;

/** Counts what comes of inputs, and how long each takes. */
export class Account {
  readonly outcomes: Record<string, number> = {};
  readonly broken: string[] = [];
  #slowest = { ms: 0, which: 'none' };
  #count = 0;
  #early: number | null = null;
  #told = 0;
  #fed = 0;
  #before = process.cpuUsage();
  readonly #total: number;
  readonly #progress: (count: number) => void;

  readonly #longest: number;

  /** @param longest so many ms of the processor a hundred inputs may take */
  constructor(
    total: number,
    progress: (count: number) => void = () => undefined,
    longest = LONGEST_MS,
  ) {
    this.#total = total;
    this.#progress = progress;
    this.#longest = longest;
  }

  get left(): number {
    return this.#total - this.#count;
  }

  add(outcome: string, count = 1): void {
    this.outcomes[outcome] = (this.outcomes[outcome] ?? 0) + count;
  }

  fail(what: string): void {
    if (this.broken.length < MOST_TOLD) this.broken.push(what);
  }

  /** Runs the work on one input of some size. Whatever it throws is a broken promise. */
  feed(size: number, which: string, work: () => void): void {
    try {
      work();
    } catch (error) {
      this.#thrown(which, error);
    }
    this.#fedTo(size, which);
  }

  /** The same for one input that takes its time. */
  async feedOne(which: string, work: () => Promise<void>): Promise<void> {
    try {
      await work();
    } catch (error) {
      this.#thrown(which, error);
    }
    this.#fedTo(1, which);
  }

  #thrown(which: string, error: unknown): void {
    this.fail(`${which}: ${(error as Error).stack ?? String(error)}`);
  }

  #fedTo(size: number, which: string): void {
    this.#count += size;
    // Asking the system how much time was used takes a tenth of a millisecond itself.
    if (++this.#fed % TOGETHER === 0) this.#time(which);
    if (this.#early === null && this.#count >= this.#total / 10) this.#early = megabytes();
    const tenth = Math.floor((10 * this.#count) / this.#total);
    if (tenth > this.#told) this.#progress(this.#count);
    this.#told = tenth;
  }

  #time(which: string): void {
    const { user, system } = process.cpuUsage(this.#before);
    this.#before = process.cpuUsage();
    const ms = (user + system) / 1_000;
    // The first ones are compiled.
    if (ms > this.#slowest.ms && this.#fed > 20 * TOGETHER) this.#slowest = { ms, which };
  }

  end(): Fed {
    const grown = megabytes() - (this.#early ?? 0);
    if (grown > MOST_GROWN) this.fail(`${grown.toFixed(1)} MB more are in use at the end`);
    if (this.#slowest.ms > this.#longest) {
      this.fail(`${this.#slowest.which} took ${this.#slowest.ms.toFixed(0)} ms`);
    }
    const { outcomes, broken } = this;
    return { count: this.#count, outcomes, slowest: this.#slowest, grown, broken };
  }
}

let collect: (() => void) | null = null;

/** What is in use, garbage aside. */
export function megabytes(): number {
  if (!collect) {
    setFlagsFromString('--expose-gc');
    collect = runInNewContext('gc') as () => void;
  }
  collect();
  const { heapUsed, external } = process.memoryUsage();
  return (heapUsed + external) / 2 ** 20;
}
