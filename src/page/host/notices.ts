import type { Notice, Tell } from '../../ports/contracts.js';
import type { PageNotice } from '../link/state.js';

/** Pages are told the latest of these. */
const KEPT = 100;

/** The latest of what people were told. */
export interface Notices {
  /** Tells on, and keeps it. */
  readonly tell: Tell;
  readonly latest: readonly PageNotice[];
}

/** @param date milliseconds since 1970 */
export function notices(tell: Tell, changed: () => void, date: () => number = Date.now): Notices {
  let latest: readonly PageNotice[] = [];
  let number = 0;
  return {
    tell(notice: Notice) {
      tell(notice);
      number += 1;
      latest = [...latest.slice(1 - KEPT), { ...notice, number, at: date() }];
      changed();
    },
    get latest() {
      return latest;
    },
  };
}
