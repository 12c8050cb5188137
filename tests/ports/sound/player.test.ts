import { beforeEach, describe, expect, it } from 'vitest';
import { createRenderer } from '../../../src/engine/builtin/renderer.js';
import { Player } from '../../../src/ports/sound/player.js';
import { on, RATE, SEATS } from '../../engine/builtin/helpers.js';

const FRAMES = 240;
let player: Player;
let now: number;

function block(after = 5_000): Int16Array {
  const samples = new Int16Array(2 * FRAMES);
  now += after;
  player.fill(samples, now);
  return samples;
}
const sounds = (samples: Int16Array): boolean => samples.some((sample) => sample !== 0);

beforeEach(() => {
  player = new Player(createRenderer({ sampleRate: RATE, seed: 1, seats: SEATS }), RATE);
  now = 0;
});

describe('the player', () => {
  it('fills interleaved blocks, and sounds a note one block after it came', () => {
    player.begin();
    block();
    player.handle(on({ velocity: 127 }), now + 1_000);
    const next = block();
    const first = next.findIndex((sample) => sample !== 0) >> 1;
    // 1 ms into the block, and the limiter's look-ahead of 1.5 ms.
    expect(first).toBeGreaterThanOrEqual(48 + 72);
    expect(first).toBeLessThan(48 + 72 + 5);
    const after = block();
    expect(after[1]).toBe(after[0]);
    expect(Math.max(...after)).toBeGreaterThan(5_000);
  });

  it('drops what comes while no card asks, and is silent when one does again', () => {
    player.handle(on(), 0);
    player.begin();
    expect(sounds(block()) || sounds(block())).toBe(false);
    player.handle(on({ voice: 2 }), now);
    block();
    block();
    player.end();
    player.handle(on({ voice: 3, string: 1 }), now);
    player.begin();
    block();
    block();
    block();
    expect(sounds(block())).toBe(false);
  });

  it('says how loud it is, as the meter hears what it fills', () => {
    player.begin();
    block();
    expect(player.loudness().momentary).toBe(-Infinity);
    player.handle(on({ velocity: 127 }), now);
    let most = 0;
    for (let i = 0; i < 100; i++) most = Math.max(most, ...block().map(Math.abs));
    const { momentary, integrated, truePeak, limiting } = player.loudness();
    expect(momentary).toBeGreaterThan(-40);
    expect(integrated).toBeGreaterThan(-40);
    expect(limiting).toBe(0);
    // The peak between samples is that of the samples or a little above it.
    const samples = 20 * Math.log10(most / 32_767);
    expect(truePeak).toBeGreaterThan(samples - 0.01);
    expect(truePeak).toBeLessThan(samples + 0.5);
  });

  it('counts how often the card ran dry, but not while it warms up', () => {
    player.begin();
    for (let i = 0; i < 50; i++) block(40_000);
    expect(player.dry).toBe(0);
    block(10_000);
    expect(player.dry).toBe(0);
    block(10_001);
    expect(player.dry).toBe(1);
  });
});
