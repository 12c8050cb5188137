import type { Check, PadCheck } from '../../check/types.js';
import {
  counts,
  judgement,
  ratioWords,
  summaryLine,
  tellFinding,
  timingWords,
} from '../../check/words.js';
import { filled } from '../help.js';

const WIDTH = 80;

/** Stands for a blank at which no line may break. */
const GLUE = '\u0001';

/** The plain report: a line a pad, what was found, and one line that sums up; at most 80 wide. */
export function checkText(check: Check, names: readonly string[]): string[] {
  return [
    ...table(check.pads, names),
    '',
    ...filled(`${timingWords(check)}.`, WIDTH),
    ...check.findings.flatMap((finding, i) => {
      const glued = names.map((name) => name.replaceAll(' ', GLUE));
      const { title, seen, cause, next } = tellFinding(finding, check, glued);
      return [
        '',
        ...hanging(`${String(i + 1)}. `, `${title}. ${seen.replaceAll(' %', `${GLUE}%`)}`),
        ...hanging('   Probable cause: ', cause),
        ...hanging('   Next: ', next),
      ];
    }),
    '',
    ...filled(summaryLine(check, names), WIDTH),
  ].map((line) => line.replaceAll(GLUE, ' '));
}

function hanging(first: string, text: string): string[] {
  const indent = '   ';
  const [head = '', ...rest] = filled(text, WIDTH - first.length);
  return [
    `${first}${head}`,
    ...filled(rest.join(' '), WIDTH - indent.length).flatMap((line) =>
      line === '' ? [] : [`${indent}${line}`],
    ),
  ];
}

function table(pads: readonly PadCheck[], names: readonly string[]): string[] {
  const named = pads.map(({ pad }) => names[pad] ?? `pad ${String(pad)}`);
  const width = Math.max(3, ...named.map((name) => name.length));
  const line = (
    name: string,
    [input, rest, touch, noise, ratio]: readonly string[],
    words: string,
  ): string[] => {
    const figures =
      `${name.padEnd(width)} ${input!.padStart(5)} ${rest!.padStart(6)} ` +
      `${touch!.padStart(7)} ${noise!.padStart(6)} ${ratio!.padStart(7)}  `;
    const [first = '', ...more] = filled(words, WIDTH - figures.length);
    return [
      `${figures}${first}`.trimEnd(),
      ...more.map((rest) => `${' '.repeat(figures.length)}${rest}`),
    ];
  };
  return [
    ...line('pad', ['input', 'rest', 'touch', 'noise', 'ratio'], 'verdict'),
    ...pads.flatMap((pad, i) => line(named[i]!, figures(pad), judgement(pad))),
  ];
}

function figures({ inputs, rest, touched, noise, ratio }: PadCheck): string[] {
  const change = touched === null || rest === null ? null : Math.round(touched - rest);
  return [
    inputs.length === 0 ? '-' : inputs.join('+'),
    rest === null ? '-' : counts(rest),
    change === null ? '-' : `${change < 0 ? '' : '+'}${String(change)}`,
    noise === null ? '-' : counts(noise),
    ratioWords(ratio),
  ];
}
