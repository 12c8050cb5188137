import * as z from 'zod';
import { MILLISECOND, SECOND } from '../time/micros.js';
import { builtinCeiling, midiCeiling } from './ceiling.js';
import type { Complaint } from './explain.js';
import { oscMessages } from './osc-messages.js';
import { checkPlayers, from } from './room-from.js';
import { read, type Form, type Reading } from './read.js';
import { duration, durationOrNever, pad, portNumber, steady, text } from './scalars.js';
import { key, pitchClasses, scale } from './scale.js';
import type { Room } from './types.js';

/** The most seats of a room: more than a class has, and few enough to share one speaker. */
export const MOST_SEATS = 64;

const rulesSwitch = z.strictObject({
  rules: z
    .array(text)
    .min(1)
    .describe('Names of rules files; MIDI program 1 of the port switches to the first, and so on.'),
  pads: z.array(pad).default([]).describe('Pads that, held together, switch to the next of them.'),
  hold: duration(100 * MILLISECOND, 10 * SECOND)
    .prefault('1s')
    .describe('How long those pads must be held.'),
});

const seat = z.strictObject({
  name: text.describe('What the seat is called; also in OSC messages from its board.'),
  instrument: text.describe('The name of an instrument file, or its path.'),
  build: text
    .nullable()
    .default(null)
    .describe('The name of a build file, or its path; left out: calibrated as it starts.'),
  from: from.meta({
    description: 'Where the readings come from.',
    examples: [{ player: 'demo' }],
  }),
  steady: steady
    .nullable()
    .default(null)
    .describe(
      'Whether its notes end when its board stops sending; left out: if it has sent steadily.',
    ),
  rules: text.default('plain').describe('The name of a rules file, or its path.'),
  level: z.number().min(0).max(1).default(0.8).describe('How loud the seat is, from 0 to 1.'),
  pan: z.number().min(-1).max(1).default(0).describe('From -1, left, over 0, the middle, to 1.'),
  mute: z.boolean().default(false).describe('The seat is silent.'),
  solo: z.boolean().default(false).describe('Only seats that are solo sound.'),
  lead: z.boolean().default(false).describe('While the seat sounds, the others are turned down.'),
  sound: z
    .int()
    .min(1)
    .max(128)
    .nullable()
    .default(null)
    .describe("The General MIDI program or drum kit; left out: the instrument's own."),
  switch: rulesSwitch
    .nullable()
    .default(null)
    .describe('What the rules can be switched to while people play.'),
});

/** Only what has a board can stop sending. */
function checkSteady({ seats }: Room): Complaint[] {
  return seats.flatMap(({ steady, from }, i) => {
    if (steady === null || 'osc' in from || 'as' in from) return [];
    const found = `"steady" at a seat without a board`;
    const allowed = 'this only with "midi:", "virtual:" or "osc:" in "from"';
    return [{ path: ['seats', i, 'steady'], found, allowed, fix: 'Take it away' }];
  });
}

const channels = z
  .enum(['seat', 'string'])
  .default('seat')
  .describe('One MIDI channel a seat, or one a string as in MIDI mode 4.');

const host = z
  .string()
  .regex(/^([^\s/:]+|[0-9a-fA-F:]+)$/)
  .meta({ title: 'an address without its port, such as 127.0.0.1' });

const osc = z.strictObject({
  host: host.describe('The address of the receiver.'),
  port: portNumber.describe('The UDP port of the receiver.'),
  messages: z
    .union([text, oscMessages])
    .default('plain')
    .describe('The name of a file in engines/, or the message templates themselves.'),
  ahead: durationOrNever(0, 10 * SECOND)
    .prefault('never')
    .describe('Send each message in a bundle with a time tag this far ahead.'),
  hand: z
    .enum(['pads', 'notes'])
    .optional()
    .describe('Hand on to a pluckwork on another computer: pads as they are read, or notes.'),
});

const builtin = z.strictObject({
  soundfont: text
    .nullable()
    .default(null)
    .describe('The path of a SoundFont; left out: plucked strings computed here.'),
  seed: z.int().default(1).describe('Where the random numbers of the plucks start.'),
  ceiling: builtinCeiling,
});

const to = z.union([
  z.strictObject({ builtin: builtin.describe('The sound of this computer.') }),
  z.strictObject({
    midi: z
      .union([
        z.strictObject({
          port: text.describe("Part of a MIDI output port's name."),
          channels,
          ceiling: midiCeiling,
        }),
        z.strictObject({
          virtual: text.describe('The name of our own virtual MIDI port.'),
          channels,
          ceiling: midiCeiling,
        }),
      ])
      .meta({ description: 'A MIDI synthesizer.', examples: [{ virtual: 'pluckwork' }] }),
  }),
  z.strictObject({ osc: osc.describe('An OSC receiver.') }),
]);

const control = z.strictObject({
  osc: portNumber.describe('The UDP port that listens for changes.'),
  host: host
    .default('127.0.0.1')
    .describe('The address it listens at; 0.0.0.0 lets in everybody in the network.'),
});

export const roomForm: Form<Room> = {
  schema: z
    .strictObject({
      seats: z.array(seat).min(1).max(MOST_SEATS).describe('The units that play, one player each.'),
      voices: z
        .int()
        .min(1)
        .max(512)
        .default(64)
        .describe('How many notes sound at once in the whole room, in fair shares.'),
      key: key.prefault('C').describe('The key that a named scale begins on.'),
      scale: scale
        .default(null)
        .describe(
          'Notes outside go to the nearest one inside; left out: all are played as they are.',
        ),
      duck: z
        .number()
        .min(0)
        .max(60)
        .default(9)
        .describe('By how many decibels the others are turned down while a lead plays.'),
      control: control
        .nullable()
        .default(null)
        .describe('Lets a program change levels, sounds and the scale while people play.'),
      to: z
        .array(to)
        .min(1)
        .prefault([{ builtin: {} }])
        .describe('What makes the sound; several at once if wanted.'),
    })
    .meta({ title: 'a room', description: 'Who plays, on what, and what makes the sound.' })
    .transform(({ key: from, scale: written, ...room }) => ({
      ...room,
      scale: written && pitchClasses(written, from),
    })),
  check: (room) => [
    ...checkSeats(room),
    ...checkPlayers(room),
    ...checkSteady(room),
    ...checkControl(room),
    ...checkEngines(room),
  ],
};

/**
 * Reads a room file (YAML) and fills in what it leaves out. Names in it are not looked up.
 *
 * @param file its name for messages
 * @throws FileFault
 */
export function parseRoom(text: string, file: string): Room {
  return readRoom(text, file).value;
}

/** The same, with the means to complain about single keys later, once the named files were read. */
export function readRoom(text: string, file: string): Reading<Room> {
  return read(text, file, roomForm);
}

function checkSeats({ seats }: Room): Complaint[] {
  const first = new Map<string, number>();
  return seats.flatMap(({ name }, i) => {
    const earlier = first.get(name);
    if (earlier === undefined) {
      first.set(name, i);
      return [];
    }
    return [
      {
        path: ['seats', i, 'name'],
        found: `"${name}", the name of seat ${String(earlier + 1)} too`,
        allowed: 'a name of its own for each seat',
        fix: 'Rename one of the two seats',
      },
    ];
  });
}

/** A UDP port hears one kind of sender only. */
function checkControl({ control, seats }: Room): Complaint[] {
  const other = seats.find(({ from }) => control && 'osc' in from && from.osc === control.osc);
  if (!control || !other) return [];
  return [
    {
      path: ['control', 'osc'],
      found: `${String(control.osc)}, the port of seat "${other.name}" too`,
      allowed: 'a port on which no seat listens',
      fix: 'Give the control another port',
    },
  ];
}

/** Addresses that lead back to this computer, whatever it is called elsewhere. */
const HERE = /^(localhost|127(\.\d+){3}|0\.0\.0\.0|::1?)$/i;

/** Notes that come back in as readings are no pad readings, and each would be complained about. */
function checkEngines({ to, seats, control }: Room): Complaint[] {
  return to.flatMap((engine, i) => {
    if (!('osc' in engine) || !HERE.test(engine.osc.host)) return [];
    const { port } = engine.osc;
    const seat = seats.find(({ from }) => 'osc' in from && from.osc === port);
    const who = seat
      ? `where seat "${seat.name}" listens for its board`
      : 'where "control" listens';
    if (!seat && control?.osc !== port) return [];
    return [
      {
        path: ['to', i, 'osc', 'port'],
        found: `${String(port)}, ${who} on this computer`,
        allowed: 'a port on which nothing of this room listens',
        fix: "Write the synthesizer's own port",
      },
    ];
  });
}
