export const UNITS = ['us', 'ms', 's', 'min'] as const;
export type Unit = (typeof UNITS)[number];

/** A time as two inputs show it; `never` apart from them. */
export interface TimeParts {
  /** As it was typed: it may be empty or no number yet. */
  readonly amount: string;
  readonly unit: Unit;
  readonly never: boolean;
}

/** @example timeParts('24ms') // { amount: '24', unit: 'ms', never: false } */
export function timeParts(value: string): TimeParts {
  if (value.trim() === 'never') return { amount: '', unit: 'ms', never: true };
  const [, amount = '', unit = 'ms'] = /^(.*?)\s*(us|ms|min|s)?$/.exec(value.trim()) ?? [];
  return { amount, unit: unit as Unit, never: false };
}

/** @example timeText({ amount: '24', unit: 'ms', never: false }) // '24ms' */
export function timeText({ amount, unit, never }: TimeParts): string {
  return never ? 'never' : `${amount.trim()}${unit}`;
}
