import type { Timed } from '../time/events.js';
import type { WireEvent } from '../wire/scan.js';
import { parseHeader, parseTakeLine, type TakeHeader, type TakeProblem } from './take.js';

/** A take in memory: its header, and its events as often as they are asked for. */
export interface Take {
  readonly header: TakeHeader;
  /** Reads through the take; a line that cannot be read is reported and passed over. */
  events(report: (problem: TakeProblem) => void): Generator<WireEvent, void>;
}

/** The same, with its lines for whoever knows more of them than that. */
export interface OpenTake extends Take {
  /**
   * Reads through the lines after the header.
   *
   * @param parse one line after what time; a string is what is wrong with it
   */
  lines<Event extends Timed>(
    parse: (line: string, after: number) => Event | string,
    report: (problem: TakeProblem) => void,
  ): Generator<Event, void>;
}

/** Thrown where a text is no take at all. */
export class NotATake extends Error {
  override readonly name = 'NotATake';
}

/** Some editors begin a text with a byte order mark. */
export const withoutMark = (text: string): string => text.replace(/^\uFEFF/, '');

/** Opens the text of a take (already unpacked). Throws NotATake where its header cannot be read. */
export function openTake(whole: string): OpenTake {
  const text = withoutMark(whole);
  if (text.trim() === '') throw new NotATake('the take is empty: nothing was recorded in it');
  const first = text.indexOf('\n');
  const header = parseHeader(first < 0 ? text : text.slice(0, first));
  if (typeof header === 'string') throw new NotATake(header);
  return {
    header,
    events: (report) =>
      readLines(text, first, (line, after) => parseTakeLine(line, header, after), report),
    lines: (parse, report) => readLines(text, first, parse, report),
  };
}

function* readLines<Event extends Timed>(
  text: string,
  first: number,
  parse: (line: string, after: number) => Event | string,
  report: (problem: TakeProblem) => void,
): Generator<Event, void> {
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
    const event = parse(content, after);
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
