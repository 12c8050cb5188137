import type { LogicEvent, Setup } from './own-logic-contract.js';

/** What went wrong in a module of somebody's own, in words for whoever wrote it. */
export class LogicFault extends Error {
  override readonly name = 'LogicFault';

  /**
   * @param what one sentence without a full stop
   * @param where `file:line:column`, or the file alone
   * @param next what to do about it, a sentence with its full stop
   */
  constructor(
    readonly what: string,
    readonly where: string,
    readonly next: string,
  ) {
    super(`${what} (${where})`);
  }
}

/** A module that plays at one seat. Whatever it answers is not to be trusted. */
export interface LogicRun {
  /** Begins again: a fresh state, and nothing asked for. */
  again(setup: Setup): void;
  /** What its step answers. `setup` may be another one than before. */
  step(event: LogicEvent, setup: Setup): unknown;
  /** It plays no more. May be called twice. */
  end(): void;
}

/** A module of somebody's own, ready to play. All of it throws nothing but `LogicFault`. */
export interface Logic {
  /** Its file, as messages name it. */
  readonly file: string;
  begin(setup: Setup): LogicRun;
}
