import { existsSync } from 'node:fs';
import { setTimeout as pause } from 'node:timers/promises';
import { Worker } from 'node:worker_threads';
import { Shared, THREAD, type Ask, type ThreadData, type Told } from './shared.js';

/** How long a thread may take, in milliseconds. */
export interface Patience {
  /** Of the processor's time, for one event. */
  readonly work: number;
  /** By the clock, for one event: for a thread that is stuck without working, or kept from it. */
  readonly wait: number;
}

/**
 * While people play: a loop without end holds everything up for so long, once. On an emulated machine, as
 * slow as the smallest boards, 20 ms were not enough: compiling and collecting garbage count as work too.
 */
export const PATIENCE: Patience = { work: 100, wait: 1_000 };
/** For a take: nobody waits for a note, and the notes must not depend on how busy the computer is. */
export const TAKE_PATIENCE: Patience = { work: 1_000, wait: 10_000 };

/** For a thread to start and load its module. */
const LOAD_WITHIN = 5_000;
/**
 * Beginning may take this many times as long as an event: the module is loaded afresh, and may make tables.
 * On an emulated machine, as slow as the smallest boards, that alone took a tenth of a second.
 */
const BEGINNING = 10;
/** How often it is looked whether a thread that has not answered is still worth waiting for. */
const LOOK_EVERY = 5;
/** In megabytes: far more than a playing logic needs, and little enough for a class of them. */
const LIMITS = { maxOldGenerationSizeMb: 48, maxYoungGenerationSizeMb: 8, stackSizeMb: 2 };

/** Beside this file when built; where the sources run by themselves (in tests), what was built last. */
const BUILT = new URL('./worker.js', import.meta.url);
const WORKER = existsSync(BUILT)
  ? BUILT
  : new URL('../../../dist/ports/logic/worker.js', import.meta.url);

/** A thread did not answer in time, and was ended. */
export class NoAnswer extends Error {
  override readonly name = 'NoAnswer';
}

const UNLOADED = 'it did not load in time';
const UNBEGUN = 'it did not begin in time';

const living = new Set<LogicThread>();

/** How many threads have this module in them, whether anybody plays by them or not. */
export function livingCount(code: string): number {
  return [...living].filter((thread) => thread.code === code).length;
}

/** A thread with one module of somebody's own in it. It loads it first: see `now` and `later`. */
export class LogicThread {
  readonly #shared = new Shared();
  readonly #worker: Worker;
  #gone = false;

  constructor(readonly code: string) {
    // Its first turn is to load.
    this.#shared.give(THREAD, '');
    const workerData: ThreadData = { shared: this.#shared.memory, code };
    this.#worker = new Worker(WORKER, {
      workerData,
      env: {},
      execArgv: [],
      resourceLimits: LIMITS,
      name: 'own logic',
    });
    this.#worker.unref();
    // What went wrong is found out by whoever waits for an answer.
    this.#worker.on('error', () => {
      this.#leave();
    });
    this.#worker.on('exit', () => {
      this.#leave();
    });
    living.add(this);
  }

  get alive(): boolean {
    return !this.#gone;
  }

  /**
   * Asks, and waits for the answer.
   *
   * @throws NoAnswer where it takes too long; then the thread is ended
   */
  ask(ask: Ask, patience: Patience): Told {
    this.#give(ask);
    if (!this.#shared.wait(THREAD, LOOK_EVERY)) {
      this.#waitOn(patience, ask.ask === 'step' || ask.ask === 'nothing' ? 1 : BEGINNING);
    }
    return JSON.parse(this.#shared.text()) as Told;
  }

  /**
   * What it said to being started, waited for as for an answer: that holds everything up for some 50 ms.
   *
   * @throws NoAnswer
   */
  now(): Told {
    if (!this.#shared.wait(THREAD, LOAD_WITHIN)) this.#stop(UNLOADED);
    return JSON.parse(this.#shared.text()) as Told;
  }

  /**
   * What it says to being started, or to what is asked, while everything else goes on.
   *
   * @throws NoAnswer
   */
  async later(ask?: Ask): Promise<Told> {
    if (ask) this.#give(ask);
    const end = performance.now() + LOAD_WITHIN;
    while (this.#shared.turn === THREAD) {
      if (this.#gone || performance.now() > end) this.#stop(ask ? UNBEGUN : UNLOADED);
      await pause(1);
    }
    return JSON.parse(this.#shared.text()) as Told;
  }

  /** Ends it, whatever it is doing. */
  end(): void {
    this.#leave();
    void this.#worker.terminate();
  }

  #leave(): void {
    this.#gone = true;
    living.delete(this);
  }

  #give(ask: Ask): void {
    if (this.#gone) throw new NoAnswer('its thread has ended');
    if (this.#shared.give(THREAD, JSON.stringify(ask))) return;
    throw new NoAnswer('the instrument is too large for own logic');
  }

  /**
   * On a busy computer a thread may be kept from working for longer than it may work, and that is not
   * the module's fault: so what counts is how long the program has worked since. It has done nothing
   * but wait here, so that is the thread's work, and the little that playing the sound takes.
   */
  #waitOn({ work, wait }: Patience, times: number): void {
    const began = performance.now();
    const before = process.cpuUsage();
    while (!this.#shared.wait(THREAD, LOOK_EVERY)) {
      const { user, system } = process.cpuUsage(before);
      const worked = (user + system) / 1_000 + LOOK_EVERY;
      const waited = performance.now() - began;
      if (worked >= times * work) this.#stop(`it did not answer within ${String(times * work)} ms`);
      if (waited >= times * wait) this.#stop(`it did not answer within ${String(times * wait)} ms`);
    }
  }

  #stop(why: string): never {
    this.end();
    throw new NoAnswer(why);
  }
}
