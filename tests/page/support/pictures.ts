/*
 * Makes the pictures of the README again, of the real page and a real report:
 *   npm run build && npx tsx tests/page/support/pictures.ts
 */
import { fileURLToPath, pathToFileURL } from 'node:url';
import { join } from 'node:path';
import { faulty, textOf } from '../../commands/check-hands.js';
import { run } from '../../commands/program.js';
import { realRoom } from './real-room.js';

const pictures = fileURLToPath(new URL('../../../docs/pictures/', import.meta.url));

// The room that ships, with its made-up players.
const room = await realRoom({ room: 'band', files: {} });
try {
  const page = await room.open();
  await page.setViewportSize({ width: 1280, height: 760 });
  await page.getByText('Connected').waitFor();
  // Somewhere in the piece, where several of them play.
  await page.waitForTimeout(6_000);
  await page.screenshot({ path: join(pictures, 'room.png') });

  room.folder.write('faulty.take.jsonl', textOf(faulty(), { instrument: 'bass-4x4' }));
  const report = join(room.folder.path, 'report.html');
  await run(['check', '--take', 'faulty.take.jsonl', '--html', report], room.folder.path);
  await page.setViewportSize({ width: 900, height: 640 });
  await page.goto(pathToFileURL(report).href);
  await page.screenshot({ path: join(pictures, 'report.png') });
} finally {
  await room.close();
}
