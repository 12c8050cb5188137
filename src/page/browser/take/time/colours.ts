import { coloursOf } from '../../style/colours.js';

const NAMES = {
  card: 'card',
  raised: 'card-raised',
  sunk: 'card-sunk',
  ink: 'ink',
  soft: 'ink-soft',
  copper: 'copper',
  strong: 'copper-strong',
  pale: 'copper-pale',
  line: 'line',
  level: 'good',
  bad: 'bad',
  focus: 'focus',
} as const;

/** The colours of the take's pictures. */
export type Colours = Readonly<Record<keyof typeof NAMES, string>>;

export const coloursNow = (): Colours => coloursOf(NAMES);
