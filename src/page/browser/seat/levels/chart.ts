import { onFrame } from '../../drawing/loop.js';
import { coloursOf } from '../../style/colours.js';
import { repainted } from '../../style/scheme.js';
import { drawLines } from './lines.js';
import type { LevelHistory } from './history.js';
import type { Playhead } from './playhead.js';
import { Strips, type StripSize } from './strips.js';

/** Sharper than this cannot be seen, and costs. */
const MOST_RATIO = 2;
/** Who wants less motion gets a new picture this often instead of a gliding one. In µs. */
const STEP = 500_000;

export interface ChartParts {
  /** What glides, and above it what stays. */
  readonly moving: HTMLCanvasElement;
  readonly still: HTMLCanvasElement;
  readonly history: LevelHistory;
  readonly playhead: Playhead;
  /** The pads from top to bottom. */
  readonly order: readonly number[];
}

/** The picture of the levels, in the page's one loop: it draws only what is new, and only in sight. */
export class Chart {
  private readonly quit: (() => void)[] = [];
  private strips: Strips | null = null;
  private thresholds = -1;
  private edge = 0;
  private frozen = false;
  private seconds = 5;
  private readonly calm = matchMedia('(prefers-reduced-motion: reduce)');

  constructor(private readonly parts: ChartParts) {
    const sizes = new ResizeObserver(() => {
      this.strips = null;
    });
    sizes.observe(parts.moving);
    this.quit.push(
      () => {
        sizes.disconnect();
      },
      // Colours come from the page's style, which changes with the light in the room.
      repainted.subscribe(() => {
        this.strips = null;
      }),
      onFrame(parts.moving, 0, (now) => {
        this.paint(now);
      }),
    );
  }

  /** How many seconds are seen. */
  show(seconds: number): void {
    this.seconds = seconds;
    this.strips = null;
  }

  /** Stands still, or goes on. */
  freeze(frozen: boolean): void {
    this.frozen = frozen;
  }

  close(): void {
    for (const quit of this.quit) quit();
  }

  private paint(now: number): void {
    const { history, playhead, moving } = this.parts;
    if (!this.frozen) {
      const at = playhead.at(now) ?? this.edge;
      this.edge = this.calm.matches ? Math.floor(at / STEP) * STEP : at;
    } else if (this.strips) return;
    const context = moving.getContext('2d');
    if (!context) return;
    this.strips ??= this.begin();
    if (this.thresholds !== history.thresholds) this.redraw(this.strips.size);
    this.strips.show(this.edge, context);
  }

  private begin(): Strips {
    const { moving, still, history, order } = this.parts;
    const ratio = Math.min(MOST_RATIO, devicePixelRatio);
    const width = Math.max(1, Math.round(moving.clientWidth * ratio));
    const strip = Math.max(1, Math.round((moving.clientHeight * ratio) / order.length));
    for (const canvas of [moving, still]) {
      canvas.width = width;
      canvas.height = strip * order.length;
    }
    const size: StripSize = { width, strip, ratio };
    this.redraw(size);
    const colours = coloursOf({
      line: 'ink',
      rest: 'card-sunk',
      touched: 'copper-pale',
      mark: 'copper',
    });
    return new Strips(history, order, size, this.seconds * 1_000_000, colours);
  }

  private redraw(size: StripSize): void {
    const { still, history, order } = this.parts;
    const context = still.getContext('2d');
    const colours = coloursOf({ line: 'ink-soft', grid: 'line' });
    if (context) drawLines(context, history, order, size, this.seconds, colours);
    this.thresholds = history.thresholds;
  }
}
