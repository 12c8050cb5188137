import { effect } from '@preact/signals';
import { useEffect } from 'preact/hooks';
import { polite, urgent } from '../parts/announce.js';
import { More } from '../parts/help.js';
import { Status, type Standing } from '../parts/status.js';
import { language, texts } from '../texts/texts.js';
import { unsettled } from './unsettled.js';
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
/** Of those that need somebody, so many. */
const FIRST = 6;

/** What happened lately, what needs somebody first, then the latest: what, where, and what to do next. */
export function Notices({ connection }: NoticesProps) {
  useEffect(() => announced(connection), [connection]);
  const t = texts.value.shell;
  const told = connection.state.notices.value ?? [];
  // What still needs somebody stays on top, however much came after it.
  const first = unsettled(told).slice(0, FIRST);
  const all = [...first, ...told.filter((one) => !first.includes(one)).reverse()];
  const shown = Math.max(LATEST, first.length);
  const older = all.slice(shown);
  return (
    <section class="notices sheet stack" aria-labelledby="notices">
      <h2 id="notices" tabIndex={-1}>
        {t.notices}
      </h2>
      {all.length === 0 ? (
        <p class="soft">{t.noNotices}</p>
      ) : (
        <List notices={all.slice(0, shown)} />
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
    <ul class="notice-list">
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
    </ul>
  );
}

function clockTime(at: number): string {
  return new Date(at).toLocaleTimeString(locale(), { timeStyle: 'medium' });
}

/** The browser's own way of the language that is shown: 18:05 or 6:05 pm. */
function locale(): string {
  return navigator.languages.find((tag) => tag.startsWith(language.value)) ?? language.value;
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
