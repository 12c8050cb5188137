import type { StringsInstrument } from '../../src/instrument/types.js';
import { printedOrder } from '../../src/instrument/instrument-pads.js';
import { formatHeader, formatTakeLine } from '../../src/takes/take.js';
import type { Scan } from '../../src/wire/scan.js';
import {
  always,
  rewritten,
  SOUND,
  takeOf,
  touching,
  withCoupling,
  withDrift,
  withHum,
  withNoise,
  withSwapped,
} from '../check/takes.js';
import { BASS } from '../support/bass.js';

/** Three pads: one sound, one weak, one that was not touched. */
export const STICK: StringsInstrument = {
  name: 'Stick',
  kind: 'strings',
  sound: 34,
  strings: [{ open: 28, frets: [0, 1], pluck: 2 }],
};
export const STICK_FILE = `name: Stick
kind: strings
sound: 34
strings:
  - { open: E1, frets: [0, 1], pluck: 2 }
`;

/** Rests 100, 200 and 300, touches of 90 and 9 counts, and noise of exactly 3 counts on all. */
export function stickTake(order = [0, 1], later = 0): Scan[] {
  const gestures = touching(order).map(({ pad, at, until, strength }) => {
    return { pad, at: at + later, until: until + later, strength };
  });
  const unit = { rest: [100, 200, 300], span: [90, 9, 90], noise: 0, full: 1_023 };
  return rewritten(takeOf(gestures, unit), (_, raw, t) => raw + [-1, 0, 2, -1][(t / 4_000) % 4]!);
}

export function textOf(scans: readonly Scan[], header: object = {}): string {
  const lines = [
    formatHeader({ take: 1, inputs: scans[0]?.inputs.length ?? 3, full: 1_023, ...header }),
    ...scans.map(formatTakeLine),
  ];
  return `${lines.join('\n')}\n`;
}

/** A bass with something wrong of nearly every kind. */
export function faulty(): Scan[] {
  const order = printedOrder(BASS).filter((pad) => pad !== 6);
  const span = SOUND.span.map((usual, pad) => (pad === 13 ? 60 : usual));
  const faults = [
    withHum([16], 50, 150),
    withCoupling(0, 4, 0.4),
    withDrift([9], 25),
    always(15, 0),
    withSwapped(7, 11),
    withNoise([10], 140),
  ];
  const scans = faults.reduce(rewritten, takeOf(touching(order), { ...SOUND, span }));
  return scans.filter((_, k) => k % 25 !== 7);
}

/** Every tag of a page with what it stands in; throws where one is closed that is not open. */
export function tagsOf(html: string): { name: string; attributes: string; within: string[] }[] {
  const open: string[] = [];
  const tags: { name: string; attributes: string; within: string[] }[] = [];
  const text = html.replace(/<style>[\s\S]*?<\/style>/, '<style></style>');
  for (const [, slash, name = '', attributes = ''] of text.matchAll(/<(\/?)([\w!]+)([^>]*)>/g)) {
    if (name === '!doctype') continue;
    if (slash === '/') {
      const last = open.pop();
      if (last !== name) throw new Error(`</${name}> closes <${last ?? 'nothing'}>`);
      continue;
    }
    tags.push({ name, attributes, within: [...open] });
    if (!attributes.endsWith('/')) open.push(name);
  }
  if (open.length > 0) throw new Error(`left open: ${open.join(', ')}`);
  return tags;
}
