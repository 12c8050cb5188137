import { createHash } from 'node:crypto';
import { Script } from 'node:vm';
import { beforeAll, describe, expect, it } from 'vitest';
import { compareHtml } from '../../src/commands/compare/html.js';
import type { Comparison } from '../../src/compare/run.js';
import { heldPart } from '../../src/commands/compare/view.js';
import { windowOfInterest } from '../../src/compare/window.js';
import { PLAIN } from '../../src/instrument/rules.js';
import type { Rules } from '../../src/instrument/types.js';
import { compareNotes } from '../../src/compare/compare.js';
import { judge } from '../../src/compare/judge.js';
import { playedNotes } from '../../src/compare/notes.js';
import { compareRules } from '../../src/compare/rules.js';
import { openTake } from '../../src/takes/read.js';
import type { ListedNote } from '../../src/takes/read-notes.js';
import { rerun } from '../../src/takes/rerun.js';
import type { VoiceEvent } from '../../src/room/voice.js';
import { bassPlan, withStrings } from '../support/bass.js';
import { busyTake } from '../support/busy-take.js';
import { played } from '../compare/hands.js';
import { note } from '../score/notes.js';
import { allOf } from '../support/takes.js';
import { tagsOf } from './check-hands.js';
import { compareTake } from './compare-hands.js';

const OTHER: Rules = {
  ...withStrings({ stop: 'latest', 'hammer-on': true }),
  name: 'other',
  touch: { ...PLAIN.touch, on: 0.3 },
};

async function comparison(
  text: string,
  more: Partial<Comparison> = {},
  other = OTHER,
): Promise<Comparison> {
  const take = await openTake(text);
  const read = await allOf(take.events(() => undefined));
  const length = read.at(-1)?.t ?? 0;
  const side = (rules: Rules) => {
    const events: VoiceEvent[] = [];
    const plan = bassPlan(rules);
    rerun(read, plan, (_seat, _t, error) => {
      throw error;
    }).subscribe((event) => events.push(event));
    return { name: rules.name, plan, notes: playedNotes(events) };
  };
  const [a, b] = [side(PLAIN), side(other)];
  return {
    path: 'somewhere/hand.take.jsonl',
    take,
    instrument: a.plan.instrument,
    a,
    b,
    length,
    within: 50_000,
    rules: compareRules(PLAIN, other, 'strings'),
    notes: compareNotes(a.notes, b.notes),
    wanted: null,
    judged: null,
    window: null,
    ...more,
  };
}

/** The page without what is no markup. */
const markup = (html: string): string => html.replace(/<script>[\s\S]*<\/script>/, '');
const scriptOf = (html: string): string => /<script>([\s\S]*)<\/script>/.exec(html)![1]!;

describe('the page of a comparison', () => {
  let compared: Comparison;
  let html = '';
  beforeAll(async () => {
    compared = await comparison(compareTake());
    html = await compareHtml(compared);
  });

  it('is balanced, with ids that are there once', async () => {
    expect(tagsOf(markup(html)).length).toBeGreaterThan(150);
    const ids = [...html.matchAll(/ id="([^"]+)"/g)].map(([, id]) => id!);
    expect(new Set(ids).size).toBe(ids.length);
    const links = [...html.matchAll(/ href="#([^"]+)"/g)].map(([, id]) => id!);
    expect(links.length).toBeGreaterThan(1);
    for (const link of links) expect(ids).toContain(link);
    for (const [, id] of scriptOf(html).matchAll(/by\('([\w-]+)'\)/g)) expect(ids).toContain(id);
  });

  it('holds no number that is none', async () => {
    const plain = markup(html).replace(/<style>[\s\S]*<\/style>/, '');
    expect(plain).not.toMatch(/NaN|Infinity|undefined/);
  });

  it('fetches nothing, and runs its own script only', async () => {
    expect(markup(html)).not.toMatch(/<(link|img|iframe|object|embed|base|form)\b/i);
    expect(html).not.toMatch(/https?:|url\(|@import|\ssrc=|\son\w+=|javascript:|fetch\(|import\(/i);
    const script = scriptOf(html);
    const hash = createHash('sha256').update(script).digest('base64');
    expect(html).toContain(`default-src &#39;none&#39;`);
    expect(html).toContain(`script-src &#39;sha256-${hash}&#39;`);
    expect(() => new Script(script)).not.toThrow();
  });

  it('draws every pad’s row and both sides’ notes under the pads of their string', async () => {
    const names = [...html.matchAll(/<div class="name (pad|side)">([^<]*)</g)];
    expect(names.filter(([, kind]) => kind === 'pad')).toHaveLength(20);
    expect(names.slice(0, 7).map(([, , name]) => name)).toEqual([
      ...['G2 fret 1', 'G2 fret 2', 'G2 fret 3', 'G2 fret 4', 'G2 pluck', 'A plain', 'B other'],
    ]);
    const tags = tagsOf(markup(html));
    const boxes = tags.filter(({ attributes }) => attributes.includes('class="note'));
    expect(boxes).toHaveLength(compared.a.notes.length + compared.b.notes.length);
    for (const { attributes } of boxes) {
      expect(attributes).toMatch(/title="[AB]: [A-G]#?\d, at \d+\.\d{3} s, for .*, velocity \d+/);
    }
    // Twelve seconds in drawings of four; strings that nobody touched there are left out.
    const drawings = tags.filter(({ name }) => name === 'svg');
    expect(drawings.length).toBeGreaterThanOrEqual(6);
    for (const { attributes } of drawings) {
      expect(attributes).toContain('role="img"');
      expect(attributes).toMatch(/aria-label="Levels of .* from \d+ to \d+ seconds"/);
    }
  });

  it('draws a pluck where it was, as high as it was', async () => {
    // E1 open, from 1.0 s: the fifth row of the string whose pads are 12 to 15 and 19.
    const own =
      /<svg[^>]*aria-label="Levels of E1[^"]* from 0 to 4 [^>]*viewBox="0 0 (\d+) (\d+)"[^>]*>(.*?)<\/svg>/.exec(
        html,
      )!;
    expect([own[1], own[2]]).toEqual(['40000', '1000']);
    const [path] = [...own[3]!.matchAll(/ d="([^"]+)"/g)].map(([, d]) => d!).slice(-1);
    let [x, y] = [0, 0];
    const points: [number, number][] = [];
    for (const [, command, list] of path!.matchAll(/([MVlZ])([^MVlZ]*)/g)) {
      const values = (list!.match(/-?\d+/g) ?? []).map(Number);
      if (command === 'M') [x, y] = [values[0]!, values[1]!];
      if (command === 'V') [y] = [values[0]!];
      if (command === 'l') [x, y] = [x + values[0]!, y + values[1]!];
      points.push([x, y]);
    }
    const top = Math.min(...points.map(([, height]) => height));
    // A full touch is 18 of the row's 20 pixels less what the scale holds beyond it: 18 / 1.1.
    expect(Math.abs(1000 - 10 * (18 / 1.1) - top)).toBeLessThan(25);
    const high = points.filter(([, height]) => height < 950).map(([time]) => time / 10);
    expect(Math.min(...high)).toBeGreaterThanOrEqual(1_000);
    expect(Math.max(...high)).toBeLessThanOrEqual(1_096);
  });

  it('tells by signs and words what it tells by colour', async () => {
    expect(html).toMatch(/class="note differs another"[^>]*>≠ A#1 \d+</);
    expect(html).toMatch(/class="note differs"[^>]*>▼ D#2 \d+</);
    expect(html).toMatch(/class="note differs another only"[^>]*>\+ B2 \d+</);
    expect(html).toMatch(/class="gap"[^>]*>–</);
    expect(html).toContain('<b>≠</b> at another pitch in B');
    expect(html).toContain('@media (prefers-color-scheme: dark)');
    expect(html).toContain('@media print');
    expect(html).toContain('<html lang="en"');
  });

  it('can be used by keyboard: what acts is a button, a link or a list, and the view takes focus', async () => {
    const tags = tagsOf(markup(html));
    expect(tags.filter(({ name }) => name === 'button').length).toBe(6);
    expect(html).toMatch(/id="view"[^>]*tabindex="0"[^>]*role="region"/);
    for (const key of ['ArrowLeft', 'ArrowRight', "'+'", "'-'", 'Home', 'End']) {
      expect(scriptOf(html)).toContain(key);
    }
  });

  it('lists every difference and every rule that differs', async () => {
    const rows = [...html.matchAll(/<tr data-n="(\d+)"/g)].map(([, n]) => Number(n));
    const differing = compared.notes.filter(({ changes }) => changes.length > 0).length;
    expect(rows).toEqual(Array.from({ length: differing }, (_, i) => i + 1));
    expect(html).toContain('A#1 instead of C2');
    for (const { key } of compared.rules) expect(html).toContain(`>${key}</th>`);
  });

  it('shows what was wanted, and who is right', async () => {
    // Without a string of their own they go where their pitch is: F1 is on the E1 string.
    const wanted: ListedNote[] = [
      note(1_000, 1_500, 28),
      note(2_000, 2_500, 29),
      note(6_100, null, 34),
    ];
    const judged = judge(compared.notes, wanted);
    const page = await compareHtml({ ...compared, wanted, judged });
    tagsOf(markup(page));
    expect(page.match(/class="note wanted"/g)).toHaveLength(3);
    expect(page).toMatch(
      /class="lane wants"><span class="note wanted"[^>]*>E1<\/span>\n<span[^>]*>F1</,
    );
    expect(page).toContain('B is right');
    expect(page).toMatch(/F 0\.\d{3}: \d of 3 wanted notes right/);
  });

  it('opens at what is asked for', async () => {
    const at = (page: string): [number, number] => {
      const style = /id="sheet"[^>]*style="([^"]+)"/.exec(page)![1]!;
      const number = (name: string): number =>
        Number(new RegExp(`${name}:([\\d.]+)`).exec(style)![1]);
      return [number('--from'), number('--span')];
    };
    const asked = await compareHtml({ ...compared, window: { from: 7_500_000, to: 9_000_000 } });
    expect(at(asked)).toEqual([7.5, 1.5]);
    // Else a second before the first that everybody hears: C2 at 6.1 s.
    const [from, span] = at(html);
    expect(from).toBeGreaterThan(5);
    expect(from).toBeLessThan(5.2);
    expect(span).toBe(4);
  });

  it('writes names as text, whatever is in them', async () => {
    const odd = await compareHtml({
      ...compared,
      path: 'a/<img src=x>&"',
      b: { ...compared.b, name: '"><u>' },
    });
    tagsOf(markup(odd));
    expect(odd).not.toMatch(/<img|<u>/);
  });

  it('stays small with three minutes of playing without a pause', async () => {
    const page = await compareHtml(await comparison(busyTake(180)));
    expect(page.match(/class="note/g)!.length).toBeGreaterThan(1_700);
    expect(page.length).toBeLessThan(4_000_000);
  }, 60_000);
});

describe('what a page looks at', () => {
  const SECOND = 1_000_000;

  it('is around what differs, and within the take', async () => {
    const from = (notes: ReturnType<typeof compareNotes>, length = 60): number =>
      windowOfInterest(notes, length * SECOND).from / 1_000;
    const soft = played(9_000, 9_200, 33, { velocity: 1 });
    expect(from(compareNotes([played(9_000, 9_200), played(30_000)], [soft]))).toBe(29_000);
    expect(from(compareNotes([played(9_000, 9_200)], [soft]))).toBe(8_000);
    expect(from(compareNotes([played(5_000)], [played(5_000)]))).toBe(4_000);
    expect(from(compareNotes([played(500)], []))).toBe(0);
    expect(from(compareNotes([played(59_900)], []))).toBe(56_000);
    expect(from([])).toBe(0);
  });

  it('holds a short take whole, and five minutes to either side of a long one', async () => {
    const held = (from: number, to: number, length: number): number[] => {
      const part = heldPart({ from: from * SECOND, to: to * SECOND }, length * SECOND);
      return [part.from / SECOND, part.to / SECOND];
    };
    expect(held(2, 6, 12.5)).toEqual([0, 13]);
    expect(held(1_000.5, 1_004.5, 3_600)).toEqual([700, 1_305]);
    expect(held(3_590, 3_594, 3_600)).toEqual([3_290, 3_601]);
  });
});
