import { effect, signal } from '@preact/signals';
import { keep, kept } from '../parts/kept.js';

/** `auto`: as the device has it. */
export type Scheme = 'auto' | 'light' | 'dark';

const asKept = kept('scheme');
const chosen = signal<Scheme>(asKept === 'light' || asKept === 'dark' ? asKept : 'auto');

export const scheme = {
  get value(): Scheme {
    return chosen.value;
  },
  set value(one: Scheme) {
    chosen.value = one;
    keep('scheme', one === 'auto' ? null : one);
  },
};

/** Counts up whenever the page's colours may have changed, for what is painted and not styled. */
export const repainted = signal(0);

export function followScheme(): void {
  const bump = (): void => {
    repainted.value = repainted.peek() + 1;
  };
  effect(() => {
    const { dataset } = document.documentElement;
    if (chosen.value === 'auto') delete dataset['scheme'];
    else dataset['scheme'] = chosen.value;
    bump();
  });
  for (const query of ['(prefers-color-scheme: dark)', '(forced-colors: active)']) {
    matchMedia(query).addEventListener('change', bump);
  }
}
