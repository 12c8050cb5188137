import type { PageNotice } from '../../link/state.js';

/**
 * The warnings and errors that nothing has settled since, the latest first: of each place the latest notice,
 * where it is one. What has no place is settled by nothing.
 */
export function unsettled(notices: readonly PageNotice[]): PageNotice[] {
  const latest = new Map<string | number, PageNotice>();
  for (const notice of notices) latest.set(notice.where ?? notice.number, notice);
  return [...latest.values()]
    .filter(({ level }) => level !== 'info')
    .sort((a, b) => b.number - a.number);
}
