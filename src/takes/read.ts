import type { WireEvent } from '../wire/scan.js';
import { parseHeader, parseTakeLine, type TakeHeader, type TakeProblem } from './take.js';

/** A take in memory: its header, and its events as often as they are asked for. */
export interface Take {
  readonly header: TakeHeader;
  /** Reads through the take; a line that cannot be read is reported and passed over. */
  events(report: (problem: TakeProblem) => void): Generator<WireEvent, void>;
}

/** Thrown where a text is no take at all. */
export class NotATake extends Error {
  override readonly name = 'NotATake';
}

/** Opens the text of a take (already unpacked). Throws NotATake where its header cannot be read. */
export function openTake(text: string): Take {
  const first = text.indexOf('\n');
  const header = parseHeader(first < 0 ? text : text.slice(0, first));
  if (typeof header === 'string') throw new NotATake(header);
  return {
    header,
    events: (report) => readEvents(text, first, header, report),
  };
}

function* readEvents(
  text: string,
  first: number,
  header: TakeHeader,
  report: (problem: TakeProblem) => void,
): Generator<WireEvent, void> {
  if (first < 0) return;
  let start = first + 1;
  let line = 1;
  let after = 0;
  while (start < text.length) {
    line += 1;
    const found = text.indexOf('\n', start);
    const stop = found < 0 ? text.length : found;
    const content = text.slice(start, stop);
    start = stop + 1;
    if (content.trim() === '') continue;
    const event = parseTakeLine(content, header, after);
    if (typeof event !== 'string') {
      after = event.t;
      yield event;
    } else if (found < 0) {
      report({ line, what: 'the last line is cut off; it was left out' });
    } else {
      report({ line, what: `${event}; the line was left out` });
    }
  }
}
