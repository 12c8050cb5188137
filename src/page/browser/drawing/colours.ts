import { computed } from '@preact/signals';
import { coloursOf } from '../style/colours.js';
import { repainted } from '../style/scheme.js';

const NAMES = {
  raised: 'card-raised',
  ink: 'ink',
  copper: 'copper',
  strong: 'copper-strong',
  dark: 'key-dark',
} as const;

export type Colours = Readonly<Record<keyof typeof NAMES, string>>;

/** The colours of drawings; another object whenever they may have changed. */
export const coloursNow = computed((): Colours => {
  void repainted.value;
  return coloursOf(NAMES);
});
