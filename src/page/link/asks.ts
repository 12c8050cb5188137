import { z } from 'zod';
import { pad } from '../../instrument/scalars.js';
import { roomChange, seatChange } from '../../takes/change-shape.js';

/*
 * What a page may ask for. Pages are not to be trusted more than any other program on the network:
 * the server reads each of these by its form, and refuses what does not fit.
 */

/** A seat's or an engine's id, as the state has it. */
const id = z.int().min(0).max(0xffff_ffff);
const seat = id;

/** These only look, so that guests may ask for them too. */
const looking = [
  /** The seat whose levels and verdicts this page wants to see in full; null: none. */
  z.strictObject({ ask: z.literal('watch'), seat: seat.nullable() }),
  /** Whether this page wants every voice, to sound it itself. */
  z.strictObject({ ask: z.literal('voices'), on: z.boolean() }),
] as const;

const doing = [
  z.strictObject({ ask: z.literal('seat'), seat, ...seatChange }),
  z.strictObject({ ask: z.literal('room'), ...roomChange }),
  z.strictObject({ ask: z.literal('silence') }),
  z.strictObject({ ask: z.literal('engine'), engine: id, on: z.boolean() }),
  /** A finger on the drawing. `strength` is 0 to 1. It ends when the page goes away. */
  z.strictObject({ ask: z.literal('press'), seat, pad, strength: z.number().min(0).max(1) }),
  z.strictObject({ ask: z.literal('release'), seat, pad }),
  /** Plugs in or pulls out a unit that is played on the page. */
  z.strictObject({ ask: z.literal('plug'), seat, plugged: z.boolean() }),
  /** `undo` takes the last pad back, `skip` leaves one out, `keep` ends with what is done so far. */
  z.strictObject({
    ask: z.literal('guide'),
    seat,
    guide: z.enum(['wire', 'calibrate']),
    do: z.enum(['begin', 'undo', 'skip', 'keep', 'end']),
  }),
  z.strictObject({ ask: z.literal('record'), seat: seat.nullable(), do: z.enum(['begin', 'end']) }),
  /** Other rules for one seat, by name. */
  z.strictObject({ ask: z.literal('rules'), seat, name: z.string().min(1).max(200) }),
  /** Plays by these values from now on: `{ "touch.lift": "30ms" }`. Written nowhere. */
  z.strictObject({
    ask: z.literal('try'),
    seat,
    values: z.record(z.string().max(60), z.string().max(2_000)),
  }),
  /** Back to what is in the file. */
  z.strictObject({ ask: z.literal('undo-tried'), seat }),
  /** Writes what is tried to rules/NAME.yaml, and has the room file name it for this seat. */
  z.strictObject({
    ask: z.literal('keep'),
    seat,
    name: z.string().regex(/^[\p{L}\p{N}][\p{L}\p{N} _-]{0,59}$/u),
  }),
] as const;

export const ask = z.discriminatedUnion('ask', [...looking, ...doing]);
export const guestAsk = z.discriminatedUnion('ask', [...looking]);

/** What a page asks for. */
export type Ask = z.infer<typeof ask>;

/** As it travels: an answer with the same id comes back for each. */
export const asked = z.strictObject({ id: z.int().min(0), ask });
export type Asked = z.infer<typeof asked>;
