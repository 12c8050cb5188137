import { useSignal } from '@preact/signals';
import { seatById } from '../parts/seat-by-id.js';
import { linkTo } from '../route.js';
import { Status } from '../parts/status.js';
import { texts } from '../texts/texts.js';
import type { Connection } from '../connection.js';
import { unsettled } from './unsettled.js';

interface AttentionProps {
  readonly connection: Connection;
}

/** What needs somebody, in sight from every view: what went wrong last, and that a recording goes on. */
export function Attention({ connection }: AttentionProps) {
  return (
    <>
      <Recording connection={connection} />
      <ToLookAt connection={connection} />
    </>
  );
}

/** Leads to what happened; gone once it was looked at, until more comes. */
function ToLookAt({ connection }: AttentionProps) {
  const seen = useSignal(0);
  const t = texts.value.shell;
  const open = unsettled(connection.state.notices.value ?? []).filter(
    ({ number }) => number > seen.value,
  );
  const [last] = open;
  if (!last) return null;
  const { level, where, what } = last;
  return (
    <button
      type="button"
      class="button attention"
      onClick={() => {
        seen.value = last.number;
        const heading = document.getElementById('notices');
        heading?.scrollIntoView({ block: 'start' });
        heading?.focus({ preventScroll: true });
      }}
    >
      <Status standing={level === 'error' ? 'bad' : 'warn'}>
        <span class="attention-count">
          <span aria-hidden="true">{open.length}</span>
          <span class="attention-words">{t.toLookAt(open.length)}</span>
        </span>
        <span class="attention-last" lang="en">
          {[where, what].filter(Boolean).join(': ')}
        </span>
      </Status>
    </button>
  );
}

function Recording({ connection }: AttentionProps) {
  const t = texts.value.shell;
  const now = connection.state.recording.value;
  if (!now) return null;
  const name = now.seat === null ? null : (seatById(connection, now.seat)?.name ?? null);
  const to = name === null ? linkTo({ view: 'takes' }) : linkTo({ view: 'seat', name });
  return (
    <a class="recording-mark" href={to}>
      <svg viewBox="0 0 16 16" aria-hidden="true" focusable="false">
        <circle cx="8" cy="8" r="6" fill="currentColor" />
      </svg>
      {t.recording(name)}
    </a>
  );
}
