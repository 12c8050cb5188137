import { effect } from '@preact/signals';
import { repainted } from '../style/scheme.js';

const NAMES = ['card-raised', 'ink', 'copper', 'copper-strong', 'copper-pale', 'key-dark'] as const;

/** The page's colours, for a canvas. */
export type Colours = { [Name in (typeof NAMES)[number]]: string } & {
  /** Counts up as they change. */
  number: number;
};

let colours: Colours | null = null;

/** The colours as they are now; always the same object. */
export function coloursNow(): Colours {
  if (colours) return colours;
  const own: Colours = {
    ...{
      'card-raised': '',
      ink: '',
      copper: '',
      'copper-strong': '',
      'copper-pale': '',
      'key-dark': '',
    },
    number: 0,
  };
  colours = own;
  effect(() => {
    own.number = repainted.value;
    const style = getComputedStyle(document.documentElement);
    for (const name of NAMES) own[name] = style.getPropertyValue(`--${name}`).trim();
  });
  return own;
}
