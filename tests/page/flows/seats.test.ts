import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import type { Page } from 'playwright-core';
import { seriousFindings } from '../support/browser.js';
import { notesOf, realRoom, type RealRoom } from '../support/real-room.js';
import { soon } from '../support/soon.js';
import { padOf, tap, tile } from './hands.js';

/** A room file is saved again and again while a room plays, in a process of its own, and pages look. */

const ROOM = `seats:
  - { name: north, instrument: bass-4x4, from: { player: demo } }
  - { name: south, instrument: keys-13, from: { player: screen } }
to:
  - builtin: {}
`;
const EAST = '  - { name: east, instrument: keys-13, from: { player: screen } }\n';
const WITH_EAST = ROOM.replace('  - { name: south', `${EAST}  - { name: south`);

/** What a page was sent, counted beside its own script. */
interface Sent {
  frames: number;
  /** Frames that were left out before one. */
  missing: number;
  /** Frames of another layout than was told before. */
  foreign: number;
}

let room: RealRoom;
let page: Page;
let seat: Page;

/** A page that counts its frames, and would lose this mark if it were loaded again. */
async function open(view: string): Promise<Page> {
  const one = await room.open('#/takes');
  await one.addInitScript(() => {
    const sent: Sent = { frames: 0, missing: 0, foreign: 0 };
    let [sequence, layout] = [-1, -1];
    const Own = globalThis.WebSocket;
    globalThis.WebSocket = class extends Own {
      constructor(url: string | URL) {
        super(url);
        this.addEventListener('message', ({ data }: MessageEvent<string | ArrayBuffer>) => {
          if (typeof data === 'string') {
            const told = JSON.parse(data) as { told: string; layout: number };
            if (told.told === 'layout') layout = told.layout;
            return;
          }
          const view = new DataView(data);
          if (view.getUint8(0) !== 1) return;
          const now = view.getUint16(2, true);
          if (sequence >= 0) sent.missing += (now - sequence - 1 + 65_536) % 65_536;
          sequence = now;
          sent.frames += 1;
          if (view.getUint32(4, true) !== layout) sent.foreign += 1;
        });
      }
    };
    Object.assign(globalThis, { sent });
  });
  await one.goto(`${room.url}${view}`);
  await one.reload();
  await one.getByText('Connected').waitFor();
  return one;
}

const sentTo = (one: Page): Promise<Sent> =>
  one.evaluate(() => ({ ...(globalThis as unknown as { sent: Sent }).sent }));
const names = (): Promise<string[]> => page.locator('.tile h3').allInnerTexts();
/** South can be played on, and both pages are sent of it. */
async function goesOn(): Promise<void> {
  const count = (): number => notesOf(room.program, 'south').length;
  const before = count();
  const { frames } = await sentTo(seat);
  // The first ones may come while it is still calibrated.
  await soon(async () => {
    await tap(page, padOf(tile(page, 'south'), 7), 100);
    return count();
  }).toBeGreaterThan(before);
  await soon(async () => (await sentTo(seat)).frames).toBeGreaterThan(frames + 5);
}
const save = (text: string): void => {
  room.folder.write('rooms/live.yaml', text);
};

beforeAll(async () => {
  room = await realRoom({ room: 'live', files: { 'rooms/live.yaml': ROOM } });
  page = await open('');
  seat = await open('#/seat/north');
});
afterAll(async () => {
  await room.close();
});

describe('a room file that is saved while pages look', () => {
  it('with one more seat shows it in its place', async () => {
    await goesOn();
    save(WITH_EAST);
    await soon(names).toEqual(['north', 'east', 'south']);
    await tile(page, 'east').getByText('Plugged in').waitFor();
    await goesOn();
  });

  it('with another size and kind of instrument draws it at once', async () => {
    const pads = (): Promise<number> => tile(page, 'east').locator('.board .pad').count();
    await soon(pads).toBe(13);
    save(WITH_EAST.replace('east, instrument: keys-13', 'east, instrument: drums-6'));
    await soon(pads).toBe(6);
    await goesOn();
    expect(await seriousFindings(page)).toEqual([]);
  });

  it('with another engine shows that one, and the first as it was turned off', async () => {
    const engines = (): Promise<string[]> => page.locator('.engine h3').allInnerTexts();
    await soon(engines).toHaveLength(1);
    const both = `${WITH_EAST}  - osc: { host: 127.0.0.1, port: 9 }\n`;
    save(both.replace('east, instrument: keys-13', 'east, instrument: drums-6'));
    await soon(engines).toHaveLength(2);
    await goesOn();
  });

  it('without a seat whose view is open says so there, and the others go on', async () => {
    const east = await open('#/seat/east');
    await east.getByRole('heading', { name: 'Seat east' }).waitFor();
    save(ROOM);
    await east.getByRole('heading', { name: 'east has left the room' }).waitFor();
    expect(await seriousFindings(east)).toEqual([]);
    await east.getByRole('link', { name: 'Back to the room' }).click();
    await east.close();
    await soon(names).toEqual(['north', 'south']);
    await goesOn();
  });

  it('has cost no page a frame, an error or a reload', async () => {
    for (const one of [page, seat]) {
      const { frames, foreign } = await sentTo(one);
      expect(frames).toBeGreaterThan(50);
      expect(foreign).toBe(0);
    }
    await soon(() => seat.getByRole('heading', { name: 'Seat north' }).count()).toBe(1);
    expect(room.trouble).toEqual([]);
  });
});
