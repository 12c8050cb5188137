import * as z from 'zod';
import type { Path } from './document.js';
import type { Complaint } from './explain.js';
import { read, type Form } from './read.js';
import { pad } from './scalars.js';
import type { Build } from './types.js';

/** More inputs than this no board has. */
const MOST_INPUTS = 1_024;

const padBuild = z.strictObject({
  rest: z.number().describe('The mean raw reading with nobody touching.'),
  span: z
    .number()
    .describe('The raw change from rest to a full touch; below 0 where a touch lowers it.'),
  noise: z.number().min(0).describe('The raw change at rest, peak to peak.'),
  coupling: z
    .array(
      z.strictObject({
        from: pad.describe('The neighbour pad that also shows here.'),
        share: z.number().min(-1).max(1).describe('Which share of its change shows: 0.08 is 8 %.'),
      }),
    )
    .default([])
    .describe("How much of other pads' changes shows on this one."),
});

const wiringList = z.array(pad.nullable()).max(MOST_INPUTS);

export const buildForm: Form<Build> = {
  schema: z
    .strictObject({
      wiring: z
        .array(pad.nullable())
        .describe('For each input, counted from 0, the pad on it; null where none is connected.'),
      pads: z
        .array(padBuild.nullable())
        .describe('For each pad, counted from 0, how it reads; null where it was not calibrated.'),
    })
    .meta({ title: 'a build', description: 'One physical unit: its wiring and its calibration.' }),
  check: ({ wiring, pads }) => [...checkWiring(wiring, pads.length), ...checkPads(pads)],
};

/**
 * Reads a build file (JSON).
 *
 * @param file its name for messages
 * @throws FileFault
 */
export function parseBuild(text: string, file: string): Build {
  return read(text, file, buildForm).value;
}

/** Whether a value of a file is a wiring: for each input its pad, each pad on one input at most, or null. */
export function isWiring(value: unknown): value is Build['wiring'] {
  if (!wiringList.safeParse(value).success) return false;
  const pads = (value as Build['wiring']).filter((one) => one !== null);
  return new Set(pads).size === pads.length;
}

/** Writes a build as JSON, a line a pad, always the same for the same build. */
export function formatBuild({ wiring, pads }: Build): string {
  const lines = pads.map((one) => {
    if (one === null) return '    null';
    const { rest, span, noise, coupling } = one;
    const shares = coupling.map(({ from, share }) => ({ from, share }));
    return `    ${spaced({ rest, span, noise, coupling: shares })}`;
  });
  const list = lines.length === 0 ? '[]' : `[\n${lines.join(',\n')}\n  ]`;
  return `{\n  "wiring": ${spaced(wiring)},\n  "pads": ${list}\n}\n`;
}

/** JSON on one line with a space after each comma and colon; no text in a build holds either. */
function spaced(value: unknown): string {
  return JSON.stringify(value).replace(/[,:]/g, '$& ');
}

function checkWiring(wiring: Build['wiring'], count: number): Complaint[] {
  const inputs = new Map<number, number>();
  return wiring.flatMap((number, input) => {
    if (number === null) return [];
    const path: Path = ['wiring', input];
    const earlier = inputs.get(number);
    if (earlier !== undefined) {
      return [
        {
          path,
          found: `pad ${String(number)} on input ${String(input)} and on input ${String(earlier)}`,
          allowed: 'each pad on one input',
          fix: 'Follow the two wires, and write null for the input that has no pad',
        },
      ];
    }
    inputs.set(number, input);
    return number < count ? [] : [unknownPad(path, number, count)];
  });
}

function checkPads(pads: Build['pads']): Complaint[] {
  return pads.flatMap((one, number) => {
    if (one === null) return [];
    const complaints = one.coupling.flatMap(({ from }, i) => {
      const path = ['pads', number, 'coupling', i, 'from'];
      if (from >= pads.length) return [unknownPad(path, from, pads.length)];
      return from === number ? [ownPad(path, number)] : [];
    });
    return one.span === 0 ? [noSpan(['pads', number, 'span']), ...complaints] : complaints;
  });
}

function unknownPad(path: Path, number: number, count: number): Complaint {
  const allowed = count === 0 ? 'null, as the file has no pads' : `pads 0 to ${String(count - 1)}`;
  const fix = 'Calibrate the unit again, or fix the number';
  return { path, found: `pad ${String(number)}`, allowed, fix };
}

function ownPad(path: Path, number: number): Complaint {
  const found = `pad ${String(number)} itself`;
  return { path, found, allowed: 'another pad', fix: 'Take this coupling away' };
}

function noSpan(path: Path): Complaint {
  return {
    path,
    found: '0',
    allowed: 'a change above or below 0',
    fix: 'Calibrate the unit again and touch this pad well; if it stays 0, look at its wire',
  };
}
