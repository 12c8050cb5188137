import type { ComponentChildren } from 'preact';

/** How it is: each has a shape of its own, so that colour is not the only sign. */
export type Standing = 'good' | 'warn' | 'bad' | 'plain';

/** A tick, a triangle, a cross in a square, a hollow ring; 16 units wide. */
const SHAPES: Readonly<Record<Standing, string>> = {
  good: 'M2 9l4 4 8-10',
  warn: 'M8 2l7 12H1zM8 6v4M8 12v.5',
  bad: 'M2 2h12v12H2zM5 5l6 6M11 5l-6 6',
  plain: 'M8 2.5a5.5 5.5 0 1 0 .01 0z',
};

interface StatusProps {
  readonly standing: Standing;
  readonly children: ComponentChildren;
}

/** A state in words, with a shape in front. */
export function Status({ standing, children }: StatusProps) {
  return (
    <span class={`status status-${standing}`}>
      <Shape standing={standing} />
      <span>{children}</span>
    </span>
  );
}

/** The shape alone; whoever uses it says the same in words. */
export function Shape({ standing }: { readonly standing: Standing }) {
  return (
    <svg viewBox="0 0 16 16" aria-hidden="true" focusable="false">
      <path
        d={SHAPES[standing]}
        fill="none"
        stroke="currentColor"
        stroke-width="2"
        stroke-linecap="round"
        stroke-linejoin="round"
      />
    </svg>
  );
}
