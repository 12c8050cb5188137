import { effect } from '@preact/signals';
import { useEffect } from 'preact/hooks';
import { polite, urgent } from '../parts/announce.js';
import { More } from '../parts/help.js';
import { Status, type Standing } from '../parts/status.js';
import { language, texts } from '../texts/texts.js';
import type { Connection } from '../connection.js';
import type { PageNotice } from '../../link/state.js';

interface NoticesProps {
  readonly connection: Connection;
}

const STANDING: Readonly<Record<PageNotice['level'], Standing>> = {
  info: 'plain',
  warn: 'warn',
  error: 'bad',
};
/** So many are shown at once; the others open below. */
const LATEST = 4;

/** What happened lately, the latest first: what, where, and what to do next. */
export function Notices({ connection }: NoticesProps) {
  useEffect(() => announced(connection), [connection]);
  const t = texts.value.shell;
  const all = [...(connection.state.notices.value ?? [])].reverse();
  const older = all.slice(LATEST);
  return (
    <section class="notices sheet stack" aria-labelledby="notices">
      <h2 id="notices">{t.notices}</h2>
      {all.length === 0 ? (
        <p class="soft">{t.noNotices}</p>
      ) : (
        <List notices={all.slice(0, LATEST)} />
      )}
      {older.length > 0 ? (
        <More summary={t.olderNotices(older.length)}>
          <List notices={older} />
        </More>
      ) : null}
    </section>
  );
}

function List({ notices }: { readonly notices: readonly PageNotice[] }) {
  const t = texts.value.shell;
  return (
    <ol class="notice-list" reversed>
      {notices.map(({ number, level, what, where, next, at }) => (
        <li key={number} class={`notice notice-${level}`}>
          <Status standing={STANDING[level]}>
            <span class="unseen">{t.noticeLevel[level]}: </span>
            <span lang="en">{what}</span>
          </Status>
          <p class="notice-more">
            <time dateTime={new Date(at).toISOString()}>{clockTime(at)}</time>
            {where === undefined ? null : (
              <span>
                {t.noticeWhere}: <span lang="en">{where}</span>
              </span>
            )}
            {next === undefined ? null : (
              <span>
                {t.noticeNext}: <span lang="en">{next}</span>
              </span>
            )}
          </p>
        </li>
      ))}
    </ol>
  );
}

function clockTime(at: number): string {
  return new Date(at).toLocaleTimeString(language.value, { timeStyle: 'medium' });
}

/** Has those that come from now on said, errors at once. */
function announced({ state }: Connection): () => void {
  let last: number | null = null;
  return effect(() => {
    const notices = state.notices.value;
    if (notices === null) return;
    for (const { number, level, what, where, next } of notices) {
      if (last === null || number <= last) continue;
      const words = `${[where, what].filter(Boolean).join(': ')}. ${next ?? ''}`.trim();
      (level === 'error' ? urgent : polite).say(words);
    }
    last = Math.max(last ?? 0, notices.at(-1)?.number ?? 0);
  });
}
