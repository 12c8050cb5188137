import type { Timed } from '../time/events.js';
import type { WireEvent } from '../wire/scan.js';
import { Barren, LineCutter, LONGEST_LINE } from './lines.js';
import { parseHeader, parseTakeLine, type TakeHeader, type TakeProblem } from './take.js';

/** What a take holds, in the order of time: as many events at once as a piece of its text has. */
export type Batches<Event> = AsyncIterable<readonly Event[]>;

/** Told of a line that cannot be read and was passed over. */
export type Report = (problem: TakeProblem) => void;

/** A take whose events are read as they are asked for, so that it may be longer than the memory. */
export interface Take {
  readonly header: TakeHeader;
  /**
   * Reads through the take, from its start each time.
   *
   * @throws NotATake, or what its text rejects with, as it comes to what cannot be read
   */
  events(report: Report): Batches<WireEvent>;
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
    report: Report,
  ): Batches<Event>;
}

/** The text of a take in pieces, from its start each time it is asked for. */
export type TakeText = () => AsyncIterable<string> | Iterable<string>;

/** Thrown where a text is no take at all. */
export class NotATake extends Error {
  override readonly name = 'NotATake';
}

/** Some editors begin a text with a byte order mark. */
export const withoutMark = (text: string): string => text.replace(/^\uFEFF/, '');

/**
 * Opens a take by its text (already unpacked).
 *
 * @throws NotATake where its header cannot be read, or what the text rejects with
 */
export async function openTake(text: TakeText | string): Promise<OpenTake> {
  const pieces: TakeText = typeof text === 'string' ? () => [text] : text;
  const header = await readHeader(pieces);
  const lines: OpenTake['lines'] = (parse, report) => readLines(pieces, parse, report);
  return {
    header,
    lines,
    events: (report) => lines((line, after) => parseTakeLine(line, header, after), report),
  };
}

async function readHeader(text: TakeText): Promise<TakeHeader> {
  let first = '';
  let rest = '';
  for await (const piece of text()) {
    const end = piece.indexOf('\n');
    first += end < 0 ? piece : piece.slice(0, end);
    if (first.length > LONGEST_LINE) throw new NotATake('its first line is too long for a header');
    if (end < 0) continue;
    rest = piece.slice(end);
    break;
  }
  const line = withoutMark(first);
  if (line.trim() === '' && rest.trim() === '') {
    throw new NotATake('the take is empty: nothing was recorded in it');
  }
  const header = parseHeader(line);
  if (typeof header === 'string') throw new NotATake(header);
  return header;
}

async function* readLines<Event extends Timed>(
  text: TakeText,
  parse: (line: string, after: number) => Event | string,
  report: Report,
): AsyncGenerator<readonly Event[], void> {
  let after = 0;
  let batch: Event[] = [];
  const cutter = new LineCutter(
    (content, line, whole) => {
      if (line === 1) return;
      const event = parse(content, after);
      if (typeof event !== 'string') {
        after = event.t;
        batch.push(event);
        cutter.fruitful();
      } else {
        const what = whole ? `${event}; the line was left out` : CUT_OFF;
        report({ line, what });
      }
    },
    (line) => report({ line, what: 'it is too long for a line of a take; the line was left out' }),
  );
  try {
    for await (const piece of text()) {
      cutter.push(piece);
      if (batch.length === 0) continue;
      yield batch;
      batch = [];
    }
    cutter.end();
  } catch (error) {
    throw error instanceof Barren ? new NotATake(error.message) : error;
  }
  if (batch.length > 0) yield batch;
}

const CUT_OFF = 'the last line is cut off; it was left out';
