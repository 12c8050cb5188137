import { useEffect, useRef, useState } from 'preact/hooks';
import { texts } from '../../texts/texts.js';
import type { PageRecording } from '../../../link/state.js';
import { elapsed } from './finished.js';

interface RunningProps {
  readonly recording: PageRecording;
  /** It was begun here just now: this device's clock, which may be off, need not be compared. */
  readonly fresh: boolean;
}

/** How long it has been going on, how much there is, and in which file. */
export function Running({ recording, fresh }: RunningProps) {
  const words = texts.value.seat.record;
  const ms = useElapsed(fresh ? null : recording.since);
  return (
    <dl class="seat-running">
      <dt class="seat-on">
        <svg viewBox="0 0 16 16" aria-hidden="true">
          <circle cx="8" cy="8" r="6" fill="currentColor" />
        </svg>{' '}
        {words.on}
      </dt>
      <dd>
        <span role="timer">{elapsed(ms)}</span>
      </dd>
      <dt>{words.scans}</dt>
      <dd>{recording.scans}</dd>
      <dt>{words.file}</dt>
      <dd class="seat-file">{recording.file}</dd>
    </dl>
  );
}

/** The time since then, or since this was shown first, in ms. */
function useElapsed(since: number | null): number {
  const shown = useRef(Date.now());
  const [now, setNow] = useState(shown.current);
  useEffect(() => {
    const timer = setInterval(() => {
      setNow(Date.now());
    }, 500);
    return () => {
      clearInterval(timer);
    };
  }, []);
  return Math.max(0, now - (since ?? shown.current));
}
