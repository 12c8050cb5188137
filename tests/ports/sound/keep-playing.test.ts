import { beforeEach, describe, expect, it } from 'vitest';
import { createRenderer } from '../../../src/engine/builtin/renderer.js';
import type { Notice } from '../../../src/ports/contracts.js';
import { keepPlaying, LONGEST_BLOCK_MS } from '../../../src/ports/sound/keep-playing.js';
import { Player } from '../../../src/ports/sound/player.js';
import { on, RATE, SEATS } from '../../engine/builtin/helpers.js';

/** A card that is looked after in pauses: `script` says what happens in each. */
class Room {
  readonly told: Notice[] = [];
  readonly opened: number[] = [];
  closed = 0;
  waited = 0;
  present = true;
  over = false;
  readonly player = new Player(createRenderer({ sampleRate: RATE, seed: 1, seats: SEATS }), RATE);
  private now = 0;

  constructor(private readonly script: (() => void)[]) {}

  run(firstBlockMs = 5): Promise<void> {
    return keepPlaying(
      {
        player: this.player,
        sampleRate: RATE,
        tell: (notice) => this.told.push(notice),
        open: (blockMs) => {
          if (!this.present) return Promise.resolve(undefined);
          this.opened.push(blockMs);
          const close = (): Promise<void> => Promise.resolve(void this.closed++);
          return Promise.resolve({ close });
        },
        pause: () => {
          const next = this.script.shift();
          if (next) next();
          else this.over = true;
          return Promise.resolve();
        },
        wait: (ms) => Promise.resolve(void (this.waited += ms)),
        over: () => this.over,
      },
      firstBlockMs,
    );
  }

  /** The card asks for blocks, `gap` µs apart. */
  blocks(count: number, gap = 5_000): number {
    let loudest = 0;
    for (let i = 0; i < count; i++) {
      const samples = new Int16Array(480);
      this.player.fill(samples, (this.now += gap));
      loudest = Math.max(loudest, ...samples);
    }
    return loudest;
  }
}

let room: Room;
beforeEach(() => {
  room = new Room([]);
});

describe('keeping a card playing', () => {
  it('silences, lets the silence be heard and closes the card when it is over', async () => {
    room = new Room([
      () => {
        room.blocks(2);
        room.player.handle(on({ velocity: 127 }), 0);
        expect(room.blocks(100)).toBeGreaterThan(1_000);
      },
    ]);
    await room.run();
    expect(room.opened).toEqual([5]);
    expect(room.closed).toBe(1);
    expect(room.waited).toBeGreaterThanOrEqual(50);
    room.blocks(2);
    expect(room.blocks(10)).toBe(0);
    expect(room.told).toEqual([]);
  });

  it('says once that there is no card, and says when there is one', async () => {
    room = new Room([
      () => undefined,
      () => undefined,
      () => {
        room.present = true;
      },
      () => room.blocks(400),
    ]);
    room.present = false;
    await room.run();
    expect(room.told.map((notice) => notice.level)).toEqual(['warn', 'info']);
    expect(room.told[0]!.what).toMatch(/No sound card was found: the built-in engine is silent/);
    expect(room.told[0]!.next).toMatch(/WAV/);
    expect(room.opened).toHaveLength(1);
  });

  it('lengthens the blocks of a card that runs dry, up to a limit, then says so once', async () => {
    const starve = (): void => {
      room.blocks(55, 1_000);
      room.blocks(3, 50_000);
    };
    room = new Room([starve, starve, starve, starve, starve]);
    await room.run();
    expect(room.opened).toEqual([5, 10, 20, LONGEST_BLOCK_MS]);
    expect(room.closed).toBe(4);
    expect(room.told.map((notice) => notice.what)).toEqual([expect.stringMatching(/too busy/)]);
  });

  it.each([
    ['asks no more', () => undefined],
    ['asks without end', () => room.blocks(2_000, 1)],
  ])('lets go of a card that %s, says so, and tries again', async (_, pull) => {
    room = new Room([() => room.blocks(400), pull, () => undefined, () => room.blocks(400)]);
    await room.run();
    expect(room.opened).toEqual([5, 5]);
    expect(room.told.map((notice) => notice.level)).toEqual(['warn', 'info']);
    expect(room.told[0]!.what).toMatch(/went away/);
  });
});
