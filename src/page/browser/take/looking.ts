import { batch, computed, signal, type ReadonlySignal, type Signal } from '@preact/signals';
import { begin } from '../../../compare/match.js';
import type { ChangeKind } from '../../../compare/compare.js';
import type { Numbered } from '../../../compare/run.js';
import type { Micros } from '../../../time/micros.js';
import type { TakeModel } from './model.js';
import { broughtTo } from './time/span.js';

/** Which differences are gone through and listed. */
export const WHICH = {
  all: null,
  another: ['missed', 'added', 'pitch'],
  time: ['earlier', 'later'],
  loudness: ['louder', 'softer'],
  length: ['longer', 'shorter'],
} as const satisfies Record<string, readonly ChangeKind[] | null>;
export type Which = keyof typeof WHICH;

/** A line across all rows at a time, on one row. */
export interface Cursor {
  readonly t: Micros;
  readonly row: number;
}

/** Where somebody looks in a comparison. */
export interface Looking {
  readonly which: Signal<Which>;
  /** Those that differ, of the chosen kinds. */
  readonly listed: ReadonlySignal<readonly Numbered[]>;
  /** The number of the difference that was gone to; 0: none. */
  readonly current: Signal<number>;
  readonly cursor: Signal<Cursor | null>;
  /** What a screen reader says next. */
  readonly told: Signal<string>;
  go(one: Numbered): void;
  /** To the next difference, or by −1 the one before; null where none is listed. */
  next(way: 1 | -1): Numbered | null;
}

export function lookingAt({ numbered, span, result }: TakeModel): Looking {
  const which = signal<Which>('all');
  const current = signal(0);
  const cursor = signal<Cursor | null>(null);
  const told = signal('');
  const listed = computed(() => {
    const kinds: readonly ChangeKind[] | null = WHICH[which.value];
    return numbered.value.filter(
      ({ one, number }) =>
        number > 0 && (!kinds || one.changes.some(({ kind }) => kinds.includes(kind))),
    );
  });

  const go = (to: Numbered): void => {
    batch(() => {
      current.value = to.number;
      span.value = broughtTo(span.peek(), begin(to.one), result.peek()?.length ?? 0);
    });
  };

  return {
    which,
    listed,
    current,
    cursor,
    told,
    go,
    next(way) {
      const all = listed.peek();
      if (all.length === 0) return null;
      const at = all.findIndex(({ number }) => number === current.peek());
      const after = all.findIndex(({ one }) => begin(one) >= span.peek().from);
      const near = after < 0 ? all.length : after;
      const to = at >= 0 ? at + way : way > 0 ? near : near - 1;
      const found = all[(to + all.length) % all.length]!;
      go(found);
      return found;
    },
  };
}
