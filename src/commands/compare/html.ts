import { createHash } from 'node:crypto';
import { basename } from 'node:path';
import { CHANGE_KINDS } from '../../compare/compare.js';
import { begin } from '../../compare/match.js';
import type { Score } from '../../score/score.js';
import { element, escaped, scrolling } from '../check/svg.js';
import { STYLE } from '../check/style.js';
import { pitchWords, placeWords } from '../../compare/places.js';
import { numberDifferences, type Comparison, type Numbered, type Run } from '../../compare/run.js';
import { SCRIPT } from './script.js';
import { COMPARE_STYLE } from './style.js';
import { heldPart, timeView } from './view.js';
import { levelCurvesIn } from '../../compare/levels.js';
import { windowOfInterest } from '../../compare/window.js';
import {
  changesWords,
  counted,
  headline,
  KIND_WORDS,
  share,
  SIGNS,
  timeWords,
  verdictWords,
} from '../../compare/words.js';

/** Nothing is fetched, and only the page's own script runs. */
const POLICY =
  "default-src 'none'; style-src 'unsafe-inline'; " +
  `script-src 'sha256-${createHash('sha256').update(SCRIPT).digest('base64')}'`;

/** The comparison as one page of its own, to look at a bar of music. */
export async function compareHtml(comparison: Comparison): Promise<string> {
  const { path, take, instrument, notes, length } = comparison;
  const numbered = numberDifferences(notes);
  const window = comparison.window ?? windowOfInterest(notes, length);
  const held = heldPart(window, length);
  const curves = await levelCurvesIn(take.events(noReport), comparison.a.plan, held);
  const title = `${comparison.a.name} and ${comparison.b.name} on ${basename(path)}`;
  const part =
    held.from > 0 || held.to < length
      ? ` This page holds ${timeWords(held.from)} to ${timeWords(held.to)}; for another part, make it again with --at.`
      : '';
  return `<!doctype html>
<html lang="en" class="still">
<head>
<meta charset="utf-8" />
<meta name="viewport" content="width=device-width, initial-scale=1" />
<meta http-equiv="Content-Security-Policy" content="${escaped(POLICY)}" />
<title>${escaped(title)}</title>
<style>${STYLE}${COMPARE_STYLE}</style>
</head>
<body>
<header>
<h1>${escaped(title)}</h1>
<p class="soft">${escaped(`${instrument.name}, ${timeWords(length)} of playing.${part}`)}</p>
<p class="summary">${escaped(headline(notes))}</p>
${sides(comparison)}
</header>
<main>
<h2>Levels and notes</h2>
${TOOLS}
<p id="told" aria-live="polite">Keys: ← and → scroll, + and − zoom, n and p go to the next and the
previous difference.</p>
${timeView(comparison, numbered, window, held, curves)}
${legend(comparison)}
<h2>Differences</h2>
${differences(comparison, numbered)}
<h2>Rules that differ</h2>
${rules(comparison)}
</main>
<script>${SCRIPT}</script>
</body>
</html>
`;
}

/** Both runs have told of lines that cannot be read. */
const noReport = (): void => undefined;

const TOOLS = `<div class="tools" role="toolbar" aria-label="What is shown">
<button type="button" id="earlier">◀ Earlier</button>
<button type="button" id="later">Later ▶</button>
<button type="button" id="out">− Zoom out</button>
<button type="button" id="in">+ Zoom in</button>
<button type="button" id="before">Previous difference</button>
<button type="button" id="after">Next difference</button>
<label>among <select id="which">
<option value="">all</option>
<option value="missed added pitch">missed, added, other pitch</option>
<option value="earlier later">earlier or later</option>
<option value="louder softer">louder or softer</option>
<option value="longer shorter">longer or shorter</option>
</select></label>
<output id="shown"></output>
</div>`;

function sides({ a, b, judged }: Comparison): string {
  const row = (label: string, { name, notes }: Run, score: Score | undefined): string => {
    const cells = [name, counted(notes.length, 'note'), ...(score ? [scoreWords(score)] : [])];
    return element(
      'tr',
      {},
      element('th', { scope: 'row' }, element('b', {}, label)),
      ...cells.map((text) => element('td', {}, escaped(text))),
    );
  };
  const body = row('A', a, judged?.a) + row('B', b, judged?.b);
  const table = element('table', { class: 'sides' }, element('tbody', {}, body));
  return scrolling('Both sides', table);
}

function scoreWords({ f, matched, missed, added }: Score): string {
  const wanted = matched.length + missed.length;
  return (
    `F ${share(f)}: ${String(matched.length)} of ${String(wanted)} wanted notes right, ` +
    `${String(added.length)} not wanted`
  );
}

function legend({ a, b, wanted }: Comparison): string {
  const item = (text: string): string => element('li', {}, text);
  const on = a.plan.rules.touch.on === b.plan.rules.touch.on;
  const lines = [
    `<b>Curves</b> are levels after calibration, by A: 0 at rest, 1 at a full touch`,
    on
      ? '<b>Dashed</b>: where a touch begins at the least (touch.on)'
      : '<b>Dashed</b>: where a touch begins at the least by A (touch.on); <b>dotted</b>: by B',
    `<b>Boxes</b> are notes with pitch and velocity${wanted ? '; <b>dotted boxes</b> were wanted' : ''}`,
    '<b>Thick boxes</b> differ, <b>hatched</b> ones are on one side only, <b>dashed</b> ones are missing',
    ...CHANGE_KINDS.map((kind) => `<b>${SIGNS[kind]}</b> ${escaped(KIND_WORDS[kind][1])}`),
  ];
  return element('ul', { class: 'legend' }, ...lines.map(item));
}

function differences(comparison: Comparison, numbered: readonly Numbered[]): string {
  const { instrument, judged } = comparison;
  const rows = numbered.flatMap(({ one, number }, index) => {
    if (number === 0) return [];
    const note = one.a ?? one.b;
    const verdict = judged ? verdictWords(judged.verdicts[index]!) : null;
    const place = placeWords(note, instrument);
    const words = changesWords(one, instrument);
    const time = timeWords(begin(one));
    const told =
      `Difference ${String(number)}, at ${time} on ${place}: ${words}` +
      (verdict === null ? '' : `; ${verdict}`);
    const text = (words: string): string => element('td', {}, escaped(words));
    const sound = (side: typeof one.a): string =>
      side ? `${pitchWords(side.note, instrument)} ${String(side.velocity)}` : '–';
    const attributes = {
      'data-n': number,
      'data-t': String(begin(one) / 1e6),
      'data-kinds': one.changes.map(({ kind }) => kind).join(' '),
      'data-told': told,
    };
    const link = element('a', { href: `#d${String(number)}`, 'data-go': number }, time);
    return element(
      'tr',
      attributes,
      element('td', {}, String(number)),
      element('td', {}, link),
      text(place),
      text(sound(one.a)),
      text(sound(one.b)),
      element('td', { class: 'words' }, escaped(words)),
      ...(verdict === null ? [] : [text(verdict)]),
    );
  });
  if (rows.length === 0) return '<p>None: both play the same.</p>';
  const titles = ['', 'time', 'where', 'A', 'B', 'in B', ...(judged ? ['by what was wanted'] : [])];
  const head = titles.map((title) => element('th', { scope: 'col' }, title));
  return element(
    'div',
    { class: 'scroll list' },
    element(
      'table',
      {},
      element('thead', {}, element('tr', {}, ...head)),
      element('tbody', {}, rows.join('\n')),
    ),
  );
}

function rules({ rules: changed, instrument }: Comparison): string {
  if (changed.length === 0) return '<p>None: the two rule sets say the same.</p>';
  const rows = changed.map(({ key, a, b, about, matters }) => {
    const means = matters ? about : `No part in this take: ${instrument.kind} are played. ${about}`;
    return element(
      'tr',
      matters ? {} : { class: 'idle' },
      element('th', { scope: 'row' }, escaped(key)),
      element('td', {}, escaped(a)),
      element('td', {}, escaped(b)),
      element('td', { class: 'words' }, escaped(means)),
    );
  });
  const head = ['key', 'A', 'B', 'what it does'].map((title) =>
    element('th', { scope: 'col' }, title),
  );
  return scrolling(
    'Rules that differ',
    element(
      'table',
      { class: 'rules' },
      element('thead', {}, element('tr', {}, ...head)),
      element('tbody', {}, ...rows),
    ),
  );
}
