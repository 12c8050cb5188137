import type { Checked } from '../../check/check.js';
import type { Finding } from '../../check/types.js';
import { couplingTable, figuresTable, ratioChart } from './charts.js';
import type { Subject } from './json.js';
import { padPlot } from './plots.js';
import { STYLE } from './style.js';
import { element, escaped, scrolling } from './svg.js';
import { judgement, ratioWords, summaryLine, tellFinding, timingWords } from '../../check/words.js';

/** Nothing is fetched, and nothing could be: the page holds all that it shows, and no script. */
const POLICY = "default-src 'none'; style-src 'unsafe-inline'";

/**
 * The report as one page of its own, to be looked at, printed or sent on.
 *
 * @param when the day of the check, as people write it; left out where it is not known
 */
export function checkHtml(
  checked: Checked,
  names: readonly string[],
  subject: Subject,
  when?: string,
): string {
  const { check } = checked;
  const title = `Check of ${subject.unit}`;
  const about = [subject.instrument, ...(when === undefined ? [] : [when]), timingWords(check)];
  return `<!doctype html>
<html lang="en">
<head>
<meta charset="utf-8" />
<meta name="viewport" content="width=device-width, initial-scale=1" />
<meta http-equiv="Content-Security-Policy" content="${escaped(POLICY)}" />
<title>${escaped(title)}</title>
<style>${STYLE}</style>
</head>
<body>
<header>
<h1>${escaped(title)}</h1>
${about.map((text) => element('p', { class: 'soft' }, escaped(text))).join('\n')}
<p class="summary">${escaped(summaryLine(check, names))}</p>
</header>
<main>
<h2>What to do</h2>
${findings(checked, names)}
<h2>Signal to noise</h2>
<p>How far a touch moves a pad, over how much it flickers at rest: the mean while touched less the
mean at rest, divided by the noise from its lowest to its highest reading. From 5:1 on a pad can be
relied on (Cypress 001-64846, section 2.4.1). Longer bars than 25:1 are cut.</p>
<div class="chart">${ratioChart(check.pads, names)}</div>
<h2>Figures</h2>
${scrolling('Figures', figuresTable(check, names))}
<h2>Readings of each pad</h2>
<p>Dashed: rest. Dotted: touched. A triangle over a shaded band marks each touch that was seen. Each
plot has its own scale.</p>
<div class="plots">
${check.pads.map((pad) => plot(checked, pad.pad, names)).join('\n')}
</div>
<h2>Neighbours</h2>
${scrolling('Neighbours', couplingTable(check, names))}
</main>
</body>
</html>
`;
}

function plot(checked: Checked, index: number, names: readonly string[]): string {
  const pad = checked.check.pads[index]!;
  const name = names[index] ?? `pad ${String(index)}`;
  const broken = pad.verdicts.some(({ grade }) => grade === 'mend');
  const mark = broken ? '✗' : pad.verdicts.length > 0 ? '○' : '✓';
  const worth = `${mark} ${judgement(pad)}`;
  const ratio = pad.ratio === null ? '' : ` · ${ratioWords(pad.ratio)}`;
  return element(
    'figure',
    {},
    padPlot(pad, name, checked),
    element(
      'figcaption',
      {},
      element('b', {}, escaped(name)),
      element('span', {}, escaped(`${worth}${ratio}`)),
    ),
  );
}

function findings({ check }: Checked, names: readonly string[]): string {
  if (check.findings.length === 0) return '<p>Nothing: all is as it should be.</p>';
  const item = (finding: Finding): string => {
    const { title, seen, cause, next } = tellFinding(finding, check, names);
    const mark = finding.grade === 'mend' ? '✗' : '○';
    return element(
      'li',
      { class: finding.grade },
      element('h3', {}, escaped(`${mark} ${title}`)),
      element('p', {}, escaped(seen)),
      element('p', {}, '<b>Probable cause:</b> ', escaped(cause)),
      element('p', {}, '<b>Next:</b> ', escaped(next)),
    );
  };
  return element('ol', { class: 'findings' }, ...check.findings.map(item));
}
