import type { PageRules, RuleControl } from '../../../link/state.js';
import { timeParts } from './time-value.js';

/** Values that were changed on this page and are not tried yet, by key. */
export type Drafts = Readonly<Record<string, string>>;

/** What is wrong with a value before anybody is asked; the words are the page's. */
export type DraftFault =
  | { readonly fault: 'number' | 'whole' | 'time' | 'empty' }
  | { readonly fault: 'least'; readonly least: string }
  | { readonly fault: 'range'; readonly least: string; readonly most: string };

/** Changes one value; a value that is as it plays now is no draft. */
export function drafted(drafts: Drafts, { values }: PageRules, key: string, value: string): Drafts {
  const others = Object.entries(drafts).filter(([one]) => one !== key);
  return Object.fromEntries(values[key] === value ? others : [...others, [key, value]]);
}

/** Drafts without those that play now: what was tried has come into effect. */
export function stillDrafted(drafts: Drafts, { values }: PageRules): Drafts {
  return Object.fromEntries(Object.entries(drafts).filter(([key, value]) => values[key] !== value));
}

/** What is wrong with a value, as far as the page can tell; null: nothing. */
export function draftFault({ takes }: RuleControl, value: string): DraftFault | null {
  switch (takes.type) {
    case 'number':
      return numberFault(takes, value);
    case 'time': {
      const { amount, never } = timeParts(value);
      if (never && takes.none) return null;
      return /^\d+(\.\d+)?$/.test(amount) ? null : { fault: 'time' };
    }
    case 'text':
      return value.trim() === '' ? { fault: 'empty' } : null;
    case 'choice':
    case 'yes-no':
      return null;
  }
}

function numberFault(
  { least, most, whole }: Extract<RuleControl['takes'], { type: 'number' }>,
  value: string,
): DraftFault | null {
  const number = value.trim() === '' ? NaN : Number(value);
  if (!Number.isFinite(number)) return { fault: 'number' };
  if (whole && !Number.isInteger(number)) return { fault: 'whole' };
  if (most === null) return number < least ? { fault: 'least', least: String(least) } : null;
  if (number >= least && number <= most) return null;
  return { fault: 'range', least: String(least), most: String(most) };
}
