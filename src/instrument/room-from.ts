import * as z from 'zod';
import { SECOND } from '../time/micros.js';
import type { Complaint } from './explain.js';
import { duration, portNumber, text } from './scalars.js';
import type { From, Room } from './types.js';

const wire = z
  .enum(['notes', 'pressure', 'control', 'control-14', 'frames'])
  .describe('How raw pad states travel in MIDI messages.');

/** Where a seat's readings come from. */
export const from = z.union([
  z.strictObject({ midi: text.describe("Part of a MIDI input port's name."), as: wire }),
  z.strictObject({ virtual: text.describe('The name of our own virtual MIDI port.'), as: wire }),
  z.strictObject({
    osc: portNumber.describe('The UDP port that listens for OSC; seats may share one.'),
    full: z.int().min(1).default(16383).describe("The raw value of the board's full scale."),
    hand: z
      .enum(['pads', 'notes'])
      .default('pads')
      .describe('What another computer hands on: pads as they were read, or notes made of them.'),
    delay: duration(0, SECOND)
      .prefault('12ms')
      .describe("How long what it hands on is held, so that the network's jitter is not heard."),
  }),
  z.strictObject({
    take: text.describe('The path of a recording to play again.'),
    seat: text.optional().describe('Which seat, where the recording is of a whole room.'),
  }),
  z.strictObject({
    player: z
      .enum(['demo', 'screen'])
      .describe('A player that needs no hardware; "screen" is a finger or a mouse on the page.'),
    wires: z
      .enum(['straight', 'mixed'])
      .optional()
      .describe('On the page: its wires in the order of its pads, or mixed, to try wiring.'),
    built: z
      .enum(['carefully', 'hastily'])
      .optional()
      .describe('On the page: a good unit, or one with a dead pad and a noisy one, to try fixing.'),
  }),
]);

/** Whether a seat is played by a finger or a mouse on the page. */
export function isOnPage(
  from: From,
): from is Extract<From, { player: unknown }> & { readonly player: 'screen' } {
  return 'player' in from && from.player === 'screen';
}

/** Only a unit on the page is made up by what the room says. */
export function checkPlayers({ seats }: Room): Complaint[] {
  return seats.flatMap(({ from }, i) => {
    if (!('player' in from) || isOnPage(from)) return [];
    return (['wires', 'built'] as const).flatMap((key) => {
      const value = from[key];
      if (value === undefined) return [];
      const fix = 'Write "player: screen", or take it away';
      const allowed = 'this only with "player: screen"';
      return [{ path: ['seats', i, 'from', key], found: `"${value}"`, allowed, fix }];
    });
  });
}
