import { createContext, runInContext, Script } from 'node:vm';
import { seededNumbers } from '../../demo/gestures.js';
import { CODE_FILE, type Ask, type Thrown, type Told } from './shared.js';

/**
 * Not given to a module: what tells the time or chance (the same touches must always give the same notes,
 * or a take could not be run again), and what no logic needs.
 */
const WITHHELD = [
  ...['Date', 'Intl', 'WeakRef', 'FinalizationRegistry', 'Atomics', 'SharedArrayBuffer'],
  ...['WebAssembly', 'Promise', 'setTimeout', 'setInterval'],
];
/** How much of what a module says is passed on at once. */
const MOST_LINES = 10;
const LONGEST_LINE = 300;

/** Made in the module's own world, so that it holds nothing of this one in its hands. */
const FURNISH = `((withheld, say, chance) => {
  for (const name of withheld) delete globalThis[name];
  const log = (...words) => { say(words); };
  globalThis.console = { log, info: log, warn: log, error: log, debug: log };
  Math.random = () => chance();
  return JSON.parse;
})`;
type Furnish = (
  withheld: readonly string[],
  say: (words: readonly unknown[]) => void,
  chance: () => number,
) => (text: string) => unknown;

interface OwnModule {
  begin(setup: unknown): unknown;
  step(state: unknown, event: unknown, setup: unknown): unknown;
}

/**
 * Runs a module of somebody's own, each `begin` in a world of its own that has the language and nothing
 * else: no files, no network, no timers. This keeps mistakes in, not malice: Node's contexts are no
 * protection against a program that means harm.
 */
export class Sandbox {
  readonly #code: string;
  #script: Script | null = null;
  #said: string[] = [];
  #own: OwnModule | null = null;
  #parse: (text: string) => unknown = JSON.parse;
  #random = seededNumbers(1);
  #state: unknown;
  #setup: unknown;

  /** @param code a script whose value is what the module exports */
  constructor(code: string) {
    this.#code = code;
  }

  /**
   * Tries whether the module loads.
   *
   * @returns what is `Told`, as JSON
   */
  try(): string {
    return this.#guarded(() => {
      this.#load();
    });
  }

  /**
   * Does what is asked.
   *
   * @param text an `Ask` as JSON
   * @returns what is `Told`, as JSON
   */
  answer(text: string): string {
    return this.#guarded(() => this.#answer(this.#parse(text) as Ask));
  }

  #answer(asked: Ask): unknown {
    switch (asked.ask) {
      case 'nothing':
        return asked.event;
      case 'begin':
        this.#load();
        this.#begin(asked.setup);
        return undefined;
      case 'again':
        this.#begin(asked.setup);
        return undefined;
      case 'step': {
        if (asked.setup !== undefined) this.#setup = asked.setup;
        const answer = this.#own?.step(this.#state, asked.event, this.#setup);
        if (typeof answer !== 'object' || answer === null) return answer;
        const { state, out, wake, then } = answer as Record<string, unknown>;
        if (typeof then === 'function')
          throw new Misuse('its step is async, but must answer at once');
        if (!('state' in answer)) throw new Misuse('its step answered without a state');
        this.#state = state;
        // NEVER, and whatever else JSON has no word for, is no wake.
        return { out, wake: wake === Infinity ? null : (wake ?? null) };
      }
    }
  }

  #begin(setup: unknown): void {
    this.#random = seededNumbers(1);
    this.#setup = setup;
    this.#state = this.#own?.begin(setup);
  }

  #load(): void {
    const world = createContext({}, { codeGeneration: { strings: false, wasm: false } });
    const furnish = runInContext(FURNISH, world) as Furnish;
    this.#parse = furnish(
      WITHHELD,
      (words) => {
        if (this.#said.length < MOST_LINES) this.#said.push(lineOf(words));
      },
      () => this.#random(),
    );
    this.#script ??= new Script(this.#code, { filename: CODE_FILE });
    const own = this.#script.runInContext(world) as Partial<OwnModule>;
    const missing = (['begin', 'step'] as const).filter((name) => typeof own[name] !== 'function');
    if (missing.length > 0) {
      throw new Misuse(`it exports no function ${missing.join(' and no function ')}`);
    }
    this.#own = own as OwnModule;
  }

  #guarded(work: () => unknown): string {
    this.#said = [];
    try {
      // Also throws, for an answer that holds itself, say.
      return this.#told({ answer: work() });
    } catch (error) {
      return this.#told({ thrown: thrownOf(error) });
    }
  }

  #told(told: Told): string {
    return JSON.stringify(this.#said.length > 0 ? { ...told, said: this.#said } : told);
  }
}

/** A mistake that no JavaScript engine has words for. */
class Misuse extends Error {
  override readonly name = '';
}

/** Whatever was thrown: it need not be an Error, nor behave. */
function thrownOf(error: unknown): Thrown {
  try {
    const { name, message, stack } = (error ?? {}) as Record<string, unknown>;
    if (typeof message !== 'string') return { message: `threw ${String(error)}`, stack: '' };
    const named = typeof name === 'string' && name !== '' && name !== 'Error' ? `${name}: ` : '';
    // Some engines' messages go on for several lines.
    const [first = ''] = message.split('\n');
    return { message: named + first, stack: typeof stack === 'string' ? stack : '' };
  } catch {
    return { message: 'threw something that cannot be shown', stack: '' };
  }
}

function lineOf(words: readonly unknown[]): string {
  const line = words.map((word) => (typeof word === 'string' ? word : shownValue(word))).join(' ');
  return line.length > LONGEST_LINE ? `${line.slice(0, LONGEST_LINE)}…` : line;
}

function shownValue(value: unknown): string {
  try {
    return (JSON.stringify(value) as string | undefined) ?? String(value);
  } catch {
    return '(something that cannot be shown)';
  }
}
