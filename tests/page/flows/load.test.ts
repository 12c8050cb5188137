import type { Page } from 'playwright-core';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { framesOver } from '../support/frames.js';
import { realRoom, type RealRoom } from '../support/real-room.js';

/*
 * A whole class, live: 32 units of 20 pads, all played, the service beside the browser on the same
 * machine. Bounds are issue 6's: 50 frames a second on two cores, under 2 MB a second to the page.
 */
const SEATS = Array.from({ length: 32 }, (_, seat) => `seat-${String(seat)}`);
const ROOM = `voices: 64
seats:
${SEATS.map((name) => `  - { name: ${name}, instrument: bass-4x4, from: { player: demo } }`).join('\n')}
to:
  - builtin: {}
`;

let room: RealRoom;
let page: Page;

beforeAll(async () => {
  room = await realRoom({ room: 'hall', files: { 'rooms/hall.yaml': ROOM }, args: ['--quiet'] });
  page = await room.open();
  await page.locator('.tile:nth-child(32)').waitFor();
});
afterAll(async () => {
  await room.close();
});

describe('a class of 32', () => {
  it('is painted at least 50 times a second, for under 2 MB a second', async () => {
    let bytes = 0;
    const session = await page.context().newCDPSession(page);
    await session.send('Network.enable');
    session.on('Network.webSocketFrameReceived', ({ response }) => {
      // Binary payloads come as Base64: four letters for three bytes.
      bytes +=
        response.opcode === 2 ? (response.payloadData.length * 3) / 4 : response.payloadData.length;
    });
    await page.reload();
    await page.locator('.tile:nth-child(32)').waitFor();
    await page.waitForTimeout(1_000);
    let [perSecond, bytesPerSecond] = [0, 0];
    // The best of three: other programs on the machine take their turns.
    for (let i = 0; i < 3 && perSecond < 50; i++) {
      const before = bytes;
      const frames = await framesOver(page, 5_000);
      if (frames.perSecond <= perSecond) continue;
      ({ perSecond } = frames);
      bytesPerSecond = (bytes - before) / frames.seconds;
    }
    process.stdout.write(
      `${perSecond.toFixed(1)} frames a second, ${(bytesPerSecond / 1e3).toFixed(0)} KB a second to the page\n`,
    );
    expect(perSecond).toBeGreaterThanOrEqual(50);
    expect(bytesPerSecond).toBeGreaterThan(20_000);
    expect(bytesPerSecond).toBeLessThan(2_000_000);
    // As notices have it: the page's thread was started again, an engine or the logic failed.
    expect(room.program.err).not.toMatch(/failed|started again/);
    expect(room.trouble).toEqual([]);
  });
});
