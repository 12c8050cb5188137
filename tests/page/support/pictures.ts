/*
 * Makes the pictures of the README again, of the real page and a real report:
 *   npm run build && npx tsx tests/page/support/pictures.ts
 */
import { createSocket } from 'node:dgram';
import { once } from 'node:events';
import { readFileSync } from 'node:fs';
import { fileURLToPath, pathToFileURL } from 'node:url';
import { join } from 'node:path';
import { FULL, rewritten, takeOf } from '../../check/takes.js';
import { textOf } from '../../commands/check-hands.js';
import { run } from '../../commands/program.js';
import { realRoom } from './real-room.js';

const pictures = fileURLToPath(new URL('../../../docs/pictures/', import.meta.url));

// The room that ships, with its made-up players.
// A receiver, so that the page has nothing to warn of on a computer without a sound card.
const receiver = createSocket('udp4').bind(0, '127.0.0.1');
await once(receiver, 'listening');
const band = readFileSync(new URL('../../../config/rooms/band.yaml', import.meta.url), 'utf8');
const to = `to: [{ osc: { host: 127.0.0.1, port: ${String(receiver.address().port)} } }]\n`;
const room = await realRoom({
  room: 'band',
  files: { 'rooms/band.yaml': band.replace(/^to:\n( .*\n?)+/m, to) },
});
try {
  const page = await room.open();
  await page.setViewportSize({ width: 1280, height: 760 });
  await page.getByText('Connected').waitFor();
  // Somewhere in the piece, where several of them play.
  await page.waitForTimeout(6_000);
  await page.screenshot({ path: join(pictures, 'room.png') });

  // One pad whose wire is broken, and one whose cover is too thick.
  const [DEAD, WEAK] = [5, 10];
  const unit = rewritten(takeOf(), (input, raw) => {
    if (input === DEAD) return Math.min(raw, 1_008);
    return input === WEAK && raw > 1_020 ? 1_047 + (raw % 16) : raw;
  });
  room.folder.write('north.take.jsonl', textOf(unit, { instrument: 'bass-4x4', full: FULL }));
  const report = join(room.folder.path, 'report.html');
  await run(['check', '--take', 'north.take.jsonl', '--html', report], room.folder.path);
  await page.setViewportSize({ width: 900, height: 640 });
  await page.goto(pathToFileURL(report).href);
  await page.screenshot({ path: join(pictures, 'report.png') });
} finally {
  await room.close();
  receiver.close();
}
