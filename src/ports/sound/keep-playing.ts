import type { Tell } from '../contracts.js';
import type { Card } from './card.js';
import type { Player } from './player.js';

/** Blocks are made longer up to this, in ms. */
export const LONGEST_BLOCK_MS = 40;
/** How often to look whether the card goes on well, and how often to look for one where there is none. */
export const LOOK_EVERY_MS = 2_000;
export const TRY_AGAIN_MS = 5_000;
/** So often may the card run dry between two looks before blocks are made longer. */
const DRY_MAY = 1;
/** A card that asks for this many times more than it can play is none any more. */
const RUNAWAY = 4;
/** For a last silence to reach the loudspeaker. */
const DRAIN_MS = 50;

/** What `keepPlaying` works with. */
export interface Surroundings {
  readonly player: Player;
  readonly sampleRate: number;
  readonly tell: Tell;
  /** Opens a card whose blocks are so long and that asks the player for them; undefined: there is none. */
  open(blockMs: number): Promise<Card | undefined>;
  /** Waits; shorter where `over` became true. */
  pause(ms: number): Promise<void>;
  /** Waits, whatever happens. */
  wait(ms: number): Promise<void>;
  /** Whether to stop: the engine is closed, or rendering failed. */
  over(): boolean;
}

/** Keeps a card playing until it is over: looks for one, and makes blocks longer where they come too late. */
export async function keepPlaying(around: Surroundings, firstBlockMs: number): Promise<void> {
  const { player, tell } = around;
  let blockMs = firstBlockMs;
  let told = false;
  while (!around.over()) {
    player.begin();
    const card = await around.open(blockMs);
    if (!card) {
      player.end();
      if (!told) tell(NO_CARD);
      told = true;
      await around.pause(TRY_AGAIN_MS);
      continue;
    }
    if (told) tell(FOUND);
    told = false;
    const end = await watch(around, blockMs);
    if (end === 'over') {
      player.silence();
      await around.wait(DRAIN_MS + 2 * blockMs);
    }
    await card.close();
    if (end === 'dry') blockMs = Math.min(LONGEST_BLOCK_MS, 2 * blockMs);
    if (end === 'stopped') {
      player.end();
      tell(STOPPED);
      told = true;
      await around.pause(TRY_AGAIN_MS);
    }
  }
}

/** Looks on until the card needs something. */
async function watch(around: Surroundings, blockMs: number): Promise<'over' | 'stopped' | 'dry'> {
  const { player, sampleRate } = around;
  let toldBusy = false;
  for (;;) {
    const { blocks, dry, frame } = player;
    await around.pause(LOOK_EVERY_MS);
    if (around.over()) return 'over';
    const most = (RUNAWAY * sampleRate * LOOK_EVERY_MS) / 1_000;
    if (player.blocks === blocks || player.frame - frame > most) return 'stopped';
    if (player.dry - dry <= DRY_MAY) continue;
    if (blockMs < LONGEST_BLOCK_MS) return 'dry';
    if (!toldBusy) around.tell(BUSY);
    toldBusy = true;
  }
}

const WHERE = 'built-in engine';
const NO_CARD = {
  level: 'warn',
  what: 'No sound card was found: the built-in engine is silent, and everything else goes on',
  where: WHERE,
  next:
    'Plug in or switch on a sound card, or close the program that holds it, and it is heard within ' +
    'seconds; or make a WAV file of the recording afterwards, or play through another engine (a MIDI ' +
    'port or an OSC receiver)',
} as const;
const FOUND = {
  level: 'info',
  what: 'A sound card was found: the built-in engine is heard from now on',
  where: WHERE,
} as const;
const STOPPED = {
  level: 'warn',
  what: 'The sound card went away: the built-in engine is silent, and everything else goes on',
  where: WHERE,
  next: 'Check its cable and the sound settings; it is heard again within seconds of its return',
} as const;
const BUSY = {
  level: 'warn',
  what: 'This computer is too busy to play without gaps',
  where: WHERE,
  next: 'Close other programs, or play through another engine',
} as const;
