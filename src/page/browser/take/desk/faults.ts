import { FileFault, problemWhat, problemWhere } from '../../../../instrument/fault.js';
import { TakeTooLong } from '../../../../takes/limits.js';
import { MidiFault } from '../../../../takes/read-midi.js';
import { NotATake } from '../../../../takes/read.js';
import { TakePlanFault } from '../../../../takes/take-plan.js';
import type { Fault } from './messages.js';

/** Thrown where nothing of a gzip could be unpacked. */
export class BadGzip extends Error {
  override readonly name = 'BadGzip';
}

/** Thrown with what is wrong, and told as it is. */
export class DeskFault extends Error {
  override readonly name = 'DeskFault';

  constructor(readonly fault: Fault) {
    super(fault.kind);
  }
}

/** What the page is told of an error. */
export function faultOf(error: unknown): Fault {
  if (error instanceof DeskFault) return error.fault;
  if (error instanceof NotATake) return { kind: 'not-a-take', what: error.message };
  if (error instanceof TakeTooLong) return { kind: 'too-long' };
  if (error instanceof BadGzip) return { kind: 'gzip' };
  if (error instanceof MidiFault) {
    return { kind: 'words', what: `MIDI: ${error.message}`, next: '' };
  }
  if (error instanceof TakePlanFault) {
    return { kind: 'plan', what: error.what, instead: error.instead };
  }
  if (error instanceof FileFault) {
    const [problem] = error.problems;
    if (problem) {
      const what = `${problemWhere(problem)}: ${problemWhat(problem)}`;
      return { kind: 'words', what, next: problem.fix };
    }
  }
  return { kind: 'broken', what: error instanceof Error ? error.message : String(error) };
}
