import type { Page } from 'playwright-core';

export interface Frames {
  readonly perSecond: number;
  /** The longest of the shortest 95 % between two frames, in ms. */
  readonly p95: number;
  /** How long was looked, in seconds. */
  readonly seconds: number;
}

/** How often a page is asked for a frame, over some time. */
export function framesOver(page: Page, ms: number): Promise<Frames> {
  return page.evaluate(
    (long) =>
      new Promise<Frames>((resolve) => {
        const times: number[] = [];
        const frame = (now: number): void => {
          times.push(now);
          const seconds = (now - times[0]!) / 1000;
          if (seconds * 1000 < long) {
            requestAnimationFrame(frame);
            return;
          }
          const between = times.slice(1).map((time, i) => time - times[i]!);
          between.sort((a, b) => a - b);
          resolve({
            perSecond: between.length / seconds,
            p95: between[Math.floor(between.length * 0.95)]!,
            seconds,
          });
        };
        requestAnimationFrame(frame);
      }),
    ms,
  );
}
