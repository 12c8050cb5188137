import { asked, guestAsk, type Ask } from '../link/asks.js';
import type { Budget } from '../../time/budget.js';
import { CLOSING } from '../link/closing.js';
import type { Answered } from './orders.js';
import type { Page } from './page.js';

/** Carries out what was asked; calls back with words that say why not, or null once it is done. */
export type CarryOut = (page: Page, ask: Ask, answered: Answered) => void;

const ENDS: ReadonlySet<Ask['ask']> = new Set(['silence', 'release']);

const GUEST = 'Guests may look, and change nothing. Ask whoever leads the room for the other link.';
const UNKNOWN = 'This page asked for something that is not known here. Load it again.';
const TOO_MUCH = 'That was too much at once. Wait a moment, then try again.';
const UNREADABLE = 'What this page says cannot be read. Load it again.';
const FLOOD = 'This page asked for far too much at once. Load it again.';

/** What is left for all pages together to ask for, and for all guests: they cost the others nothing. */
export interface Budgets {
  readonly all: Budget;
  readonly guests: Budget;
}

/**
 * Reads what a page says, and refuses what is not its to ask. Times in ms.
 *
 * @param text null: it was no text
 */
export function hear(
  page: Page,
  text: string | null,
  { all, guests }: Budgets,
  carryOut: CarryOut,
  now: number,
): void {
  if (page.closing) return;
  const message = text === null ? null : parsed(text);
  const id = idOf(message);
  if (id === null) {
    page.close(1008, UNREADABLE);
    return;
  }
  const answered = (refused: string | null): void => {
    page.tell({ told: 'answer', id, refused });
  };
  const { success, data } = asked.safeParse(message);
  const shared = page.guest ? guests : all;
  if (!page.asks.take(now) || !shared.take(now)) {
    if (!page.refusals.take(now)) {
      page.close(CLOSING.flood, FLOOD);
      return;
    }
    // What ends something is done all the same: it might go on for ever.
    if (!success || page.guest || !ENDS.has(data.ask.ask)) {
      answered(TOO_MUCH);
      return;
    }
  }
  if (!success) {
    answered(UNKNOWN);
  } else if (page.guest && !guestAsk.safeParse(data.ask).success) {
    answered(GUEST);
  } else {
    carryOut(page, data.ask, answered);
  }
}

function parsed(text: string): unknown {
  try {
    return JSON.parse(text);
  } catch {
    return null;
  }
}

function idOf(message: unknown): number | null {
  if (typeof message !== 'object' || message === null || !('id' in message)) return null;
  const { id } = message;
  return typeof id === 'number' && Number.isSafeInteger(id) && id >= 0 ? id : null;
}
