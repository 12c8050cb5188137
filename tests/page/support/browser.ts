import { readFileSync } from 'node:fs';
import { createRequire } from 'node:module';
import { chromium, type Browser, type Page } from 'playwright-core';
import type { AxeResults } from 'axe-core';

/** A headless Chromium that asks nobody for anything. */
export function launch(): Promise<Browser> {
  return chromium.launch({
    executablePath: process.env['CHROMIUM'] ?? '/usr/bin/chromium',
    args: ['--no-sandbox', '--disable-quic', '--disable-background-networking'],
  });
}

const AXE = readFileSync(createRequire(import.meta.url).resolve('axe-core/axe.min.js'), 'utf8');

/** What axe-core finds on a page as it is now, a line each: how bad, which rule, where. */
export async function axeFindings(page: Page): Promise<string[]> {
  // `evaluate` goes past the page's Content-Security-Policy, a script element would not.
  await page.evaluate(AXE);
  const { violations } = await page.evaluate(() =>
    (globalThis as unknown as { axe: { run(): Promise<AxeResults> } }).axe.run(),
  );
  return violations.flatMap(({ impact, id, nodes }) =>
    nodes.map(({ html, failureSummary }) =>
      [impact ?? 'unknown', id, html.slice(0, 200), failureSummary ?? ''].join(' · '),
    ),
  );
}
