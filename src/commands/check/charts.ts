import { FIT_RATIO } from '../../calibration/calibrate.js';
import type { Check, PadCheck } from '../../check/types.js';
import { DISTURBANCE } from '../../check/verdicts.js';
import { judgement, percent, ratioWords } from '../../check/words.js';
import { box, drawing, element, escaped, label, line } from './svg.js';

const WIDTH = 640;
const NAMES = 130;
const RIGHT = WIDTH - 70;
const ROW = 20;
const TOP = 26;

/** Bars are cut here, or the line would lie too far left to compare with. */
const MOST = 25;

/** Signal to noise of all pads as bars, with the line from which on a pad is fit. */
export function ratioChart(pads: readonly PadCheck[], names: readonly string[]): string {
  const height = TOP + ROW * pads.length + 8;
  const x = (ratio: number): number => NAMES + (Math.min(MOST, ratio) / MOST) * (RIGHT - NAMES);
  const under = pads.filter(({ ratio }) => ratio === null || ratio < FIT_RATIO).length;
  const five = x(FIT_RATIO);
  const rows = pads.flatMap((pad, i) => {
    const y = TOP + i * ROW;
    const { ratio } = pad;
    const words = ratio === null ? 'not measured' : ratioWords(ratio);
    const fit = ratio !== null && ratio >= FIT_RATIO;
    const cut = (ratio ?? 0) > MOST;
    return [
      label(NAMES - 8, y + 14, nameOf(pad, names), { 'text-anchor': 'end' }),
      box(NAMES, y + 4, x(ratio ?? 0) - NAMES, ROW - 8, fit ? 'bar' : 'bar under'),
      ...(cut ? [line(RIGHT - 9, y + 16, RIGHT - 3, y + 4, 'cut')] : []),
      label(Math.max(five, x(ratio ?? 0)) + 6, y + 14, fit ? words : `✗ ${words}`, {
        class: fit ? '' : 'bad',
      }),
    ];
  });
  return drawing(
    'ratio-chart',
    [WIDTH, height],
    `Signal to noise of ${String(pads.length)} pads`,
    `${String(pads.length - under)} reach ${String(FIT_RATIO)} to 1, ${String(under)} do not. ` +
      'The table of figures below has the same values.',
    ...rows,
    line(five, TOP - 4, five, height - 4, 'five'),
    label(five, TOP - 9, `${String(FIT_RATIO)}:1`, {
      'text-anchor': 'middle',
      class: 'five-value',
    }),
  );
}

function nameOf({ pad }: PadCheck, names: readonly string[]): string {
  return names[pad] ?? `pad ${String(pad)}`;
}

/** Shares under this are left blank: they are near what noise makes. */
const LEAST = 0.02;

/** Who shows on whom: a row is touched, a column is moved, each by a share of its own full touch. */
export function couplingTable({ pads }: Check, names: readonly string[]): string {
  const head = pads.map(({ pad }) =>
    element(
      'th',
      { scope: 'col' },
      element('abbr', { title: names[pad] ?? '' }, escaped(String(pad))),
    ),
  );
  const rows = pads.map((touched) => {
    const name = nameOf(touched, names);
    const cells = pads.map((moved) => {
      if (moved.pad === touched.pad) return element('td', { class: 'self' }, '–');
      const level = moved.ghosts.find(({ from }) => from === touched.pad)?.level ?? 0;
      if (level < LEAST) return '<td></td>';
      const strong = level >= DISTURBANCE;
      const shade = `--level:${Math.min(1, level / 0.5).toFixed(2)}`;
      const title = `${nameOf(moved, names)} moves by ${percent(level)} when ${name} is touched`;
      const text = String(Math.round(100 * level));
      return element(
        'td',
        { class: strong ? 'strong' : 'some', style: shade, title },
        strong ? `<b>${text}</b>` : text,
      );
    });
    const row = element('th', { scope: 'row' }, escaped(`${String(touched.pad)} ${name}`));
    return element('tr', {}, row, ...cells);
  });
  const corner = '<th scope="col">touched ↓ moved →</th>';
  const caption =
    'Percent of a full touch. From 20 on, a cell is framed and bold: that much shows as more than ' +
    'noise may.';
  return element(
    'table',
    { class: 'coupling' },
    element('caption', {}, escaped(caption)),
    element('thead', {}, element('tr', {}, corner, ...head)),
    element('tbody', {}, ...rows),
  );
}

/** All figures, for whoever reads numbers rather than drawings. */
export function figuresTable({ pads }: Check, names: readonly string[]): string {
  const titles = ['pad', 'input', 'touches', 'rest', 'touched', 'noise', 'ratio', 'hum', 'drift'];
  const number = (value: number | null): string => (value === null ? '–' : value.toFixed(0));
  const rows = pads.map((pad) => {
    const { inputs, touches, rest, touched, noise, ratio, hum, drift } = pad;
    const cells = [
      inputs.length === 0 ? '–' : inputs.join(' + '),
      String(touches),
      number(rest),
      number(touched),
      number(noise),
      ratio === null ? '–' : ratioWords(ratio),
      hum === null ? '–' : `${hum.hz === null ? '50/60' : String(hum.hz)} Hz ${number(hum.size)}`,
      drift === null ? '–' : percent(drift),
    ].map((text) => element('td', {}, escaped(text)));
    const broken = pad.verdicts.some(({ grade }) => grade === 'mend');
    const mark = broken ? '✗' : pad.verdicts.length > 0 ? '○' : '✓';
    const verdict = escaped(`${mark} ${judgement(pad)}`);
    const name = element(
      'th',
      { scope: 'row' },
      escaped(`${String(pad.pad)} ${nameOf(pad, names)}`),
    );
    return element('tr', {}, name, ...cells, element('td', { class: 'verdict' }, verdict));
  });
  const head = [...titles, 'verdict'].map((title) => element('th', { scope: 'col' }, title));
  return element(
    'table',
    { class: 'figures' },
    element(
      'caption',
      {},
      'Raw counts; noise and hum are peak to peak; drift is a share of a touch within a minute.',
    ),
    element('thead', {}, element('tr', {}, ...head)),
    element('tbody', {}, ...rows),
  );
}
