import { readFileSync } from 'node:fs';
import { createRequire } from 'node:module';
import { chromium, type Browser, type Page } from 'playwright-core';
import type { AxeResults } from 'axe-core';

/** What the page may load, as the program's own server says it (src/page/server/replies.ts). */
export const POLICY =
  "default-src 'none'; script-src 'self'; style-src 'self'; connect-src 'self'; img-src 'self' data:; worker-src 'self'; font-src 'none'";

/** A headless Chromium that asks nobody for anything; with more of its own options. */
export function launch(...more: readonly string[]): Promise<Browser> {
  return chromium.launch({
    executablePath: process.env['CHROMIUM'] ?? '/usr/bin/chromium',
    args: ['--no-sandbox', '--disable-quic', '--disable-background-networking', ...more],
  });
}

const AXE = readFileSync(createRequire(import.meta.url).resolve('axe-core/axe.min.js'), 'utf8');

/** What axe-core finds on a page as it is now, or in a part of it, a line each: how bad, which rule, where. */
export async function axeFindings(page: Page, part = 'html'): Promise<string[]> {
  // `evaluate` goes past the page's Content-Security-Policy, a script element would not.
  await page.evaluate(AXE);
  const { violations } = await page.evaluate(
    (within) =>
      (globalThis as unknown as { axe: { run(of: string): Promise<AxeResults> } }).axe.run(within),
    part,
  );
  return violations.flatMap(({ impact, id, nodes }) =>
    nodes.map(({ html, failureSummary }) =>
      [impact ?? 'unknown', id, html.slice(0, 200), failureSummary ?? ''].join(' · '),
    ),
  );
}

/** What of it is serious or worse. */
export async function seriousFindings(page: Page, part?: string): Promise<string[]> {
  return (await axeFindings(page, part)).filter((finding) => /^(serious|critical)/.test(finding));
}
