import { existsSync, readFileSync } from 'node:fs';
import { join } from 'node:path';
import type { Page } from 'playwright-core';
import { parseRules } from '../../../src/instrument/rules.js';
import type { Build } from '../../../src/instrument/types.js';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { CLOSING } from '../../../src/page/link/closing.js';
import { seriousFindings } from '../support/browser.js';
import { notesOf, realRoom, type RealRoom } from '../support/real-room.js';
import { soon } from '../support/soon.js';
import { padOf, tap, tile } from './hands.js';

/*
 * Each flow as a teacher or a pupil goes through it, with a room that plays in a process of its own.
 * Pads of the bass: string s (G2, D2, A1, E1) has frets 4·f + s and the pluck 16 + s (config/instruments).
 */
const ROOM = `seats:
  - { name: bass, instrument: bass-4x4, from: { player: screen } }
  - { name: mixed, instrument: bass-4x4, from: { player: screen, wires: mixed } }
  - { name: keys, instrument: keys-13, from: { player: screen } }
to:
  - builtin: {}
`;
const [A1_FRET_2, A1_PLUCK, E1_PLUCK] = [6, 18, 19] as const;

let room: RealRoom;
let page: Page;

beforeAll(async () => {
  room = await realRoom({ room: 'flows', files: { 'rooms/flows.yaml': ROOM } });
  page = await room.open();
  await page.getByText('Connected').waitFor();
});
afterAll(async () => {
  await room.close();
});

/** The words that say what sounds at a seat; its drawing has the names of its strings in any case. */
const sounding = (seat: string): Promise<string | null> =>
  tile(page, seat).locator('.sounding').textContent();
/** The pitches that a seat has played, in their order. */
const played = (seat: string): string[] =>
  notesOf(room.program, seat).map((note) => note.split(' ')[0]!);

describe('a room on its page', () => {
  it('plays by finger: the held fret sets the pitch, the pluck sounds it', async () => {
    const bass = tile(page, 'bass');
    await bass.getByText('Plugged in').waitFor();
    // Calibrated as it starts: what comes before is how the pads rest.
    await page.waitForTimeout(2_500);
    await tap(page, padOf(bass, A1_PLUCK));
    await soon(() => notesOf(room.program, 'bass').length).toBe(1);
    // Enter keeps a fret held, so that one mouse is enough for fret and pluck.
    await padOf(bass, A1_FRET_2).focus();
    await page.keyboard.press('Enter');
    await tap(page, padOf(bass, A1_PLUCK));
    await soon(() => notesOf(room.program, 'bass').length).toBe(2);
    await page.keyboard.press('Enter');
    expect(played('bass')).toEqual(['A1', 'B1']);
    await soon(() => sounding('bass')).toContain('B1');
    // In scientific pitch names, A4 is 440 Hz, A1 55 Hz; two frets up is B1 (ISO 16, design).
  });

  it('ends a unit’s notes when it is pulled out, and plays it again when it is plugged in', async () => {
    const bass = tile(page, 'bass');
    await tap(page, padOf(bass, E1_PLUCK));
    await soon(() => sounding('bass')).toContain('E1');
    await bass.getByRole('button', { name: /Pull out/ }).click();
    await bass.getByText('Unplugged').waitFor();
    await soon(() => sounding('bass')).toContain('nothing');
    await soon(() => played('bass').at(-1)).toBe('E1');
    const before = played('bass').length;
    await tap(page, padOf(bass, E1_PLUCK));
    await bass.getByRole('button', { name: /Plug in/ }).click();
    await bass.getByText('Plugged in').waitFor();
    await page.waitForTimeout(2_500);
    expect(played('bass')).toHaveLength(before);
    await tap(page, padOf(bass, E1_PLUCK));
    await soon(() => played('bass').length).toBe(before + 1);
  });

  it('mutes, and silences by button and by key', async () => {
    const keys = tile(page, 'keys');
    const mute = keys.getByRole('button', { name: /^Mute/ });
    await tap(page, padOf(keys, 0));
    await soon(() => notesOf(room.program, 'keys').length).toBe(1);
    await mute.click();
    await soon(() => mute.getAttribute('aria-pressed')).toBe('true');
    await tap(page, padOf(keys, 0));
    await page.waitForTimeout(500);
    expect(played('keys')).toEqual(['C4']);
    await mute.click();
    await soon(() => mute.getAttribute('aria-pressed')).toBe('false');
    // A latched key sounds on until it is silenced.
    await padOf(keys, 4).focus();
    await page.keyboard.press('Enter');
    await soon(() => sounding('keys')).toContain('E4');
    // Were the muted one only late, it would come before this one.
    await soon(() => played('keys')).toEqual(['C4', 'E4']);
    await page.keyboard.press('Escape');
    await soon(() => sounding('keys')).toContain('nothing');
    await padOf(keys, 4).focus();
    await page.keyboard.press('Enter');
    await padOf(keys, 5).focus();
    await page.keyboard.press('Enter');
    await soon(() => sounding('keys')).toContain('F4');
    await page.getByRole('button', { name: /Silence/ }).click();
    await soon(() => sounding('keys')).toContain('nothing');
    // What was kept held is let go of too, or the next touch of it would be none.
    for (const pad of [4, 5]) {
      await soon(() => padOf(keys, pad).getAttribute('aria-pressed')).toBe('false');
    }
  });

  it('learns the wiring of a unit whose wires are mixed, with a mistake taken back', async () => {
    const seat = await room.open('#/seat/mixed');
    const steps = seat.locator('.seat-guide');
    await steps.getByRole('button', { name: 'Learn the wiring' }).click();
    const step = seat.locator('.seat-step');
    const asked = async (): Promise<string | null> => {
      const words = (await step.textContent()) ?? '';
      return /^Touch: (.*)$/.exec(words)?.[1] ?? null;
    };
    /** The pad that is asked for next; null once none is. */
    const next = async (before: string | null): Promise<string | null> => {
      await soon(async () => {
        const now = await asked();
        return now === null ? (await step.textContent()) === 'Done' : now !== before;
      }).toBe(true);
      return asked();
    };
    const first = (await next(null))!;
    await tap(seat, padOf(steps, padNamed(first)), 300);
    expect(await next(first)).not.toBeNull();
    await steps.getByRole('button', { name: /Undo the last pad/ }).click();
    await soon(asked).toBe(first);
    const touched: string[] = [];
    for (let pad: string | null = first; pad !== null; pad = await next(pad)) {
      touched.push(pad);
      await seat.waitForTimeout(300);
      await tap(seat, padOf(steps, padNamed(pad)), 300);
    }
    expect(new Set(touched).size).toBe(20);
    expect(touched).toHaveLength(20);
    expect(existsSync(join(room.folder.path, 'builds', 'mixed.json'))).toBe(true);
    expect(readFileSync(join(room.folder.path, 'rooms', 'flows.yaml'), 'utf8')).toContain(
      'build: mixed',
    );
    await seat.getByRole('button', { name: 'Close' }).click();
    // A finger that is on a pad as the build takes effect counts from its next touch.
    await room.program.saw(/New build in effect/);
    const drawing = seat.getByRole('region', { name: 'Levels', exact: true });
    const before = notesOf(room.program, 'mixed').length;
    await tap(seat, padOf(drawing, A1_PLUCK));
    await soon(() => notesOf(room.program, 'mixed').length).toBe(before + 1);
    expect(notesOf(room.program, 'mixed').at(-1)).toMatch(/^A1 /);
    await seat.close();
  });

  it('calibrates a unit again', async () => {
    const seat = await room.open('#/seat/mixed');
    const steps = seat.locator('.seat-guide');
    const file = join(room.folder.path, 'builds', 'mixed.json');
    const before = readFileSync(file, 'utf8');
    await steps.getByRole('button', { name: 'Calibrate' }).click();
    const step = seat.locator('.seat-step');
    await soon(() => step.textContent()).toMatch(/^Touch/);
    for (let pad = 0; pad < 20; pad++) {
      await tap(seat, padOf(steps, pad), 300);
      // The last one ends the steps, so that how far they are is not shown any more.
      if (pad < 19) {
        await soon(() => steps.getByRole('progressbar').getAttribute('value')).toBe(`${pad + 1}`);
      }
      await seat.waitForTimeout(250);
    }
    await soon(() => step.textContent()).toBe('Done');
    const [was, is] = [
      JSON.parse(before) as Build,
      JSON.parse(readFileSync(file, 'utf8')) as Build,
    ];
    expect(is.wiring).toEqual(was.wiring);
    expect(is.pads).toHaveLength(20);
    expect(is.pads).not.toEqual(was.pads);
    expect(await seriousFindings(seat)).toEqual([]);
    await seat.close();
  });

  it('tries other rules at once, and keeps them in a file that the room names', async () => {
    const seat = await room.open('#/seat/bass');
    const drawing = seat.getByRole('region', { name: 'Levels', exact: true });
    const rules = seat.getByRole('region', { name: 'Rules', exact: true });
    await seat.waitForTimeout(1_000);

    /** Plucks, and presses a fret while that sounds; gives what was played from then on. */
    const hammer = async (): Promise<() => string[]> => {
      const before = played('bass').length;
      await tap(seat, padOf(drawing, A1_PLUCK));
      await soon(() => played('bass').length).toBe(before + 1);
      await seat.waitForTimeout(400);
      await tap(seat, padOf(drawing, A1_FRET_2), 300);
      await seat.waitForTimeout(600);
      return () => played('bass').slice(before);
    };
    await soon(await hammer()).toEqual(['A1']);
    await rules.getByLabel('Hammer-on').selectOption({ label: 'yes' });
    await rules.getByRole('button', { name: 'Try', exact: true }).click();
    await rules.getByText('1 value is tried, and not kept yet').waitFor();
    await soon(await hammer()).toEqual(['A1', 'B1']);
    await rules.getByLabel('Keep as').fill('ours');
    await rules.getByRole('button', { name: 'Keep', exact: true }).click();
    await rules.getByText(/Kept as “ours”/).waitFor();
    const kept = parseRules(
      readFileSync(join(room.folder.path, 'rules', 'ours.yaml'), 'utf8'),
      'ours',
    );
    expect(kept.strings['hammer-on']).toBe(true);
    expect(readFileSync(join(room.folder.path, 'rooms', 'flows.yaml'), 'utf8')).toContain(
      'rules: ours',
    );
    await soon(await hammer()).toEqual(['A1', 'B1']);
    expect(await seriousFindings(seat)).toEqual([]);
    await seat.close();
  });

  it('records a seat, and shows and explains what other rules make of the take', async () => {
    const seat = await room.open('#/seat/bass');
    const drawing = seat.getByRole('region', { name: 'Levels', exact: true });
    await seat.getByRole('button', { name: 'Record this seat' }).click();
    await seat.getByText('Scans').waitFor();
    await seat.waitForTimeout(1_500);
    await tap(seat, padOf(drawing, A1_PLUCK));
    await seat.waitForTimeout(400);
    await tap(seat, padOf(drawing, A1_FRET_2), 300);
    await seat.waitForTimeout(600);
    await seat.getByRole('button', { name: 'End the recording' }).click();
    await seat.getByRole('link', { name: /Look at/ }).click();
    await seat.getByLabel('B, rules').selectOption({ label: 'plain' });
    // By the rules that are kept, the fret hammers on; by plain ones it does not.
    await soon(() => seat.getByTestId('headline').textContent()).toMatch(/^B misses 1 note of A\./);
    expect(await seriousFindings(seat)).toEqual([]);
    await seat.close();
  });

  it('goes on playing when its page reloads, is gone, or floods it', async () => {
    const held = await room.open();
    const keys = tile(held, 'keys');
    const count = (): number => notesOf(room.program, 'keys').length;
    await padOf(keys, 7).focus();
    await held.keyboard.press('Enter');
    await soon(() => sounding('keys')).toContain('G4');
    // What a page holds is let go with it.
    await held.reload();
    await soon(() => sounding('keys')).toContain('nothing');
    const closed = held.evaluate(
      () =>
        new Promise<number>((done) => {
          const link = location.href.replace('http', 'ws').replace(/#.*/, '') + 'link';
          const flood = new WebSocket(link);
          flood.onclose = ({ code }) => {
            done(code);
          };
          flood.onopen = () => {
            for (let id = 0; id < 50_000; id++) {
              const ask = { ask: 'seat', seat: 0, level: Math.random() };
              flood.send(JSON.stringify({ id, ask }));
            }
          };
        }),
    );
    const before = count();
    for (let note = 0; note < 5; note++) await tap(page, padOf(tile(page, 'keys'), note), 100);
    await soon(count).toBe(before + 5);
    expect(await closed).toBe(CLOSING.flood);
    await held.close();
    await tap(page, padOf(tile(page, 'keys'), 0), 100);
    await soon(count).toBe(before + 6);
  });

  it('has nothing serious for axe-core in the room view, and nothing failed in its pages', async () => {
    expect(await seriousFindings(page)).toEqual([]);
    expect(room.trouble).toEqual([]);
  });
});

/** `A1 fret 2` or `A1 pluck` as the pad's number in the instrument file. */
function padNamed(name: string): number {
  const [, open, what] = /^(\S+) (?:fret )?(\S+)$/.exec(name)!;
  const string = ['G2', 'D2', 'A1', 'E1'].indexOf(open!);
  return what === 'pluck' ? 16 + string : 4 * (Number(what) - 1) + string;
}
