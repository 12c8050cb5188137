import { mapBoardTime, type BoardClock } from './board-clock.js';
import {
  FRAME_FULL,
  FRAME_INPUTS,
  FRAME_TIME_WRAP,
  readFrame,
  writeFrame,
  type Frame,
} from './frame.js';
import { midiCodec, type WireCounts } from './midi-codec.js';
import { eachReading } from './readings.js';
import type { Scan } from './scan.js';

interface Frames {
  clock: BoardClock | null;
  sequence: number;
}

/**
 * One SysEx frame a scan. A scan's time is the board's own, brought onto the host's clock, so that
 * a message that came late is no late touch.
 *
 * To encode, a scan whose inputs do not follow one another is split into frames that do.
 */
export const frames = midiCodec<Frames>({
  wire: 'frames',
  full: FRAME_FULL,
  inputs: FRAME_INPUTS,
  begin: () => ({ clock: null, sequence: 0 }),
  encode(scan, sent) {
    eachReading(scan, FRAME_INPUTS, FRAME_FULL, () => undefined);
    return runs(scan).map(([from, to], i) =>
      writeFrame({
        sequence: sent + i,
        time: scan.t,
        first: scan.inputs[from]!,
        raws: scan.raws.slice(from, to),
      }),
    );
  },
  read(own, t, message, scans, counts) {
    if (message.type !== 'sysex') {
      counts.foreign++;
      return;
    }
    const frame = readFrame(message.data);
    if (typeof frame === 'string') counts[frame]++;
    else if (!isRepeat(own, frame)) take(own, t, frame, scans, counts);
    else counts.repeated++;
  },
});

function isRepeat(own: Frames, frame: Frame): boolean {
  if (!own.clock || frame.sequence !== own.sequence) return false;
  return own.clock.board % FRAME_TIME_WRAP === frame.time;
}

function take(own: Frames, t: number, frame: Frame, scans: Scan[], counts: WireCounts): void {
  const clock = mapBoardTime(own.clock, frame.time, FRAME_TIME_WRAP, t);
  const restarted = clock.restarts > counts.restarts;
  if (own.clock && !restarted) counts.lost += (frame.sequence - own.sequence + 127) % 128;
  counts.restarts = clock.restarts;
  own.clock = clock;
  own.sequence = frame.sequence;
  if (frame.raws.length === 0) return;
  const inputs = frame.raws.map((_, i) => frame.first + i);
  scans.push({ type: 'scan', t: clock.t, inputs, raws: frame.raws });
}

/** Where the inputs of a scan follow one another: pairs of index from and index to. */
function runs(scan: Scan): [from: number, to: number][] {
  const found: [number, number][] = [];
  scan.inputs.forEach((input, i) => {
    const last = found[found.length - 1];
    if (last && input === scan.inputs[i - 1]! + 1) last[1] = i + 1;
    else found.push([i, i + 1]);
  });
  return found;
}
