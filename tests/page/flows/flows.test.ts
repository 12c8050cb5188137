import { existsSync, readFileSync } from 'node:fs';
import { join } from 'node:path';
import type { Page } from 'playwright-core';
import { parseRules } from '../../../src/instrument/rules.js';
import type { Build } from '../../../src/instrument/types.js';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { axeFindings } from '../support/browser.js';
import { notesOf, realRoom, type RealRoom } from '../support/real-room.js';
import { padOf, SOON, tap, tile } from './hands.js';

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

describe('a room on its page', () => {
  it('plays by finger: the held fret sets the pitch, the pluck sounds it', async () => {
    const bass = tile(page, 'bass');
    await bass.getByText('Plugged in').waitFor();
    // Calibrated as it starts: what comes before is how the pads rest.
    await page.waitForTimeout(2_500);
    await tap(page, padOf(bass, A1_PLUCK));
    await expect.poll(() => notesOf(room.program, 'bass').length, SOON).toBe(1);
    // Enter keeps a fret held, so that one mouse is enough for fret and pluck.
    await padOf(bass, A1_FRET_2).focus();
    await page.keyboard.press('Enter');
    await tap(page, padOf(bass, A1_PLUCK));
    await expect.poll(() => notesOf(room.program, 'bass').length, SOON).toBe(2);
    await page.keyboard.press('Enter');
    expect(notesOf(room.program, 'bass').map((note) => note.split(' ')[0])).toEqual(['A1', 'B1']);
    await bass.getByText('B1').first().waitFor();
    // In scientific pitch names, A4 is 440 Hz, A1 55 Hz; two frets up is B1 (ISO 16, design).
  });

  it('ends a unit’s notes when it is pulled out, and plays it again when it is plugged in', async () => {
    const bass = tile(page, 'bass');
    await tap(page, padOf(bass, E1_PLUCK));
    await bass.getByText('E1').first().waitFor();
    await bass.getByRole('button', { name: /Pull out/ }).click();
    await bass.getByText('Unplugged').waitFor();
    await expect.poll(() => bass.locator('.sounding').textContent(), SOON).toContain('nothing');
    const before = notesOf(room.program, 'bass').length;
    await tap(page, padOf(bass, E1_PLUCK));
    await bass.getByRole('button', { name: /Plug in/ }).click();
    await bass.getByText('Plugged in').waitFor();
    await page.waitForTimeout(2_500);
    await tap(page, padOf(bass, E1_PLUCK));
    await expect.poll(() => notesOf(room.program, 'bass').length, SOON).toBe(before + 1);
  });

  it('mutes, and silences by button and by key', async () => {
    const keys = tile(page, 'keys');
    const mute = keys.getByRole('button', { name: /^Mute/ });
    await tap(page, padOf(keys, 0));
    await expect.poll(() => notesOf(room.program, 'keys').length, SOON).toBe(1);
    await mute.click();
    await expect.poll(() => mute.getAttribute('aria-pressed'), SOON).toBe('true');
    await tap(page, padOf(keys, 0));
    await page.waitForTimeout(500);
    expect(notesOf(room.program, 'keys')).toHaveLength(1);
    await mute.click();
    await expect.poll(() => mute.getAttribute('aria-pressed'), SOON).toBe('false');
    // A latched key sounds on until it is silenced.
    await padOf(keys, 4).focus();
    await page.keyboard.press('Enter');
    await expect.poll(() => keys.locator('.sounding').textContent(), SOON).toContain('E4');
    await page.keyboard.press('Escape');
    await expect.poll(() => keys.locator('.sounding').textContent(), SOON).toContain('nothing');
    await padOf(keys, 4).focus();
    await page.keyboard.press('Enter');
    await padOf(keys, 5).focus();
    await page.keyboard.press('Enter');
    await expect.poll(() => keys.locator('.sounding').textContent(), SOON).toContain('F4');
    await page.getByRole('button', { name: /Silence/ }).click();
    await expect.poll(() => keys.locator('.sounding').textContent(), SOON).toContain('nothing');
    // What was kept held is let go of too, or the next touch of it would be none.
    for (const pad of [4, 5]) {
      expect(await padOf(keys, pad).getAttribute('aria-pressed')).toBe('false');
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
    await expect.poll(asked, SOON).not.toBeNull();
    const first = (await asked())!;
    await tap(seat, padOf(steps, padNamed(first)), 300);
    await expect.poll(asked, SOON).not.toBe(first);
    await steps.getByRole('button', { name: /Undo the last pad/ }).click();
    await expect.poll(asked, SOON).toBe(first);
    for (let count = 0; count < 20; count++) {
      const pad = (await asked())!;
      await seat.waitForTimeout(300);
      await tap(seat, padOf(steps, padNamed(pad)), 300);
      await expect.poll(asked, SOON).not.toBe(pad);
    }
    await expect.poll(() => step.textContent(), SOON).toBe('Done');
    expect(existsSync(join(room.folder.path, 'builds', 'mixed.json'))).toBe(true);
    expect(readFileSync(join(room.folder.path, 'rooms', 'flows.yaml'), 'utf8')).toContain(
      'build: mixed',
    );
    await seat.getByRole('button', { name: 'Close' }).click();
    const drawing = seat.getByRole('region', { name: 'Levels', exact: true });
    const before = notesOf(room.program, 'mixed').length;
    await tap(seat, padOf(drawing, A1_PLUCK));
    await expect.poll(() => notesOf(room.program, 'mixed').length, SOON).toBe(before + 1);
    expect(notesOf(room.program, 'mixed').at(-1)).toMatch(/^A1 /);
    await seat.close();
  });

  it('calibrates a unit anew', async () => {
    const seat = await room.open('#/seat/mixed');
    const steps = seat.locator('.seat-guide');
    const file = join(room.folder.path, 'builds', 'mixed.json');
    const before = readFileSync(file, 'utf8');
    await steps.getByRole('button', { name: 'Calibrate' }).click();
    const step = seat.locator('.seat-step');
    await expect.poll(() => step.textContent(), SOON).toMatch(/^Touch/);
    for (let pad = 0; pad < 20; pad++) {
      await tap(seat, padOf(steps, pad), 300);
      await seat.waitForTimeout(250);
    }
    await expect.poll(() => step.textContent(), SOON).toBe('Done');
    const [was, is] = [
      JSON.parse(before) as Build,
      JSON.parse(readFileSync(file, 'utf8')) as Build,
    ];
    expect(is.wiring).toEqual(was.wiring);
    expect(is.pads).toHaveLength(20);
    expect(is.pads).not.toEqual(was.pads);
    expect(await serious(seat)).toEqual([]);
    await seat.close();
  });

  it('tries other rules at once, and keeps them in a file that the room names', async () => {
    const seat = await room.open('#/seat/bass');
    const drawing = seat.getByRole('region', { name: 'Levels', exact: true });
    const rules = seat.getByRole('region', { name: 'Rules', exact: true });
    const played = (): string[] => notesOf(room.program, 'bass').map((one) => one.split(' ')[0]!);
    await seat.waitForTimeout(1_000);

    const hammer = async (): Promise<string[]> => {
      const before = played().length;
      await tap(seat, padOf(drawing, A1_PLUCK));
      await expect.poll(() => played().length, SOON).toBe(before + 1);
      await seat.waitForTimeout(400);
      await tap(seat, padOf(drawing, A1_FRET_2), 300);
      await seat.waitForTimeout(600);
      return played().slice(before);
    };
    expect(await hammer()).toEqual(['A1']);
    await rules.getByLabel('Hammer-on').selectOption({ label: 'yes' });
    await rules.getByRole('button', { name: 'Try', exact: true }).click();
    await rules.getByText(/tried/).first().waitFor();
    expect(await hammer()).toEqual(['A1', 'B1']);
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
    expect(await hammer()).toEqual(['A1', 'B1']);
    expect(await serious(seat)).toEqual([]);
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
    await expect
      .poll(() => seat.getByTestId('headline').textContent(), SOON)
      .toMatch(/^B misses 1 note of A\./);
    expect(await serious(seat)).toEqual([]);
    await seat.close();
  });

  it('goes on playing when its page reloads, is gone, or floods it', async () => {
    const held = await room.open();
    const keys = tile(held, 'keys');
    const count = (): number => notesOf(room.program, 'keys').length;
    await padOf(keys, 7).focus();
    await held.keyboard.press('Enter');
    await expect
      .poll(() => tile(page, 'keys').locator('.sounding').textContent(), SOON)
      .toContain('G4');
    // What a page holds is let go with it.
    await held.reload();
    await expect
      .poll(() => tile(page, 'keys').locator('.sounding').textContent(), SOON)
      .toContain('nothing');
    await held.evaluate(() => {
      const flood = new WebSocket(location.href.replace('http', 'ws').replace(/#.*/, '') + 'link');
      flood.onopen = () => {
        for (let id = 0; id < 50_000; id++) {
          flood.send(JSON.stringify({ id, ask: { ask: 'seat', seat: 0, level: Math.random() } }));
        }
      };
    });
    const before = count();
    for (let note = 0; note < 5; note++) await tap(page, padOf(tile(page, 'keys'), note), 100);
    await expect.poll(count, SOON).toBe(before + 5);
    await held.close();
    await tap(page, padOf(tile(page, 'keys'), 0), 100);
    await expect.poll(count, SOON).toBe(before + 6);
  });

  it('has nothing serious for axe-core in the room view, and nothing failed in its pages', async () => {
    expect(await serious(page)).toEqual([]);
    expect(room.trouble).toEqual([]);
  });
});

/** What axe-core finds that is serious or worse. */
async function serious(of: Page): Promise<string[]> {
  return (await axeFindings(of)).filter((finding) => /^(serious|critical)/.test(finding));
}

/** `A1 fret 2` or `A1 pluck` as the pad's number in the instrument file. */
function padNamed(name: string): number {
  const [, open, what] = /^(\S+) (?:fret )?(\S+)$/.exec(name)!;
  const string = ['G2', 'D2', 'A1', 'E1'].indexOf(open!);
  return what === 'pluck' ? 16 + string : 4 * (Number(what) - 1) + string;
}
