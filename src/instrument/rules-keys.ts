import * as z from 'zod';
import { MILLISECOND, SECOND } from '../time/micros.js';
import { curve } from './rules-curve.js';
import { duration, durationOrNever, text } from './scalars.js';

const flag = z.boolean();
const midiVelocity = z.int().min(1).max(127);

const touch = z.strictObject({
  on: z.number().min(0.01).max(1).default(0.2).describe('The level at which a touch begins.'),
  off: z
    .number()
    .min(0)
    .max(0.99)
    .default(0.12)
    .describe('The lower level under which a touch may end.'),
  lift: duration(0, SECOND)
    .prefault('24ms')
    .describe('How long a level must stay under `off` before the pad counts as lifted.'),
});

const strength = z.strictObject({
  readings: z
    .int()
    .min(0)
    .max(20)
    .default(1)
    .describe('How many more readings to look at for the peak of a touch; 0 waits for none.'),
  within: duration(0, 100 * MILLISECOND)
    .prefault('24ms')
    .describe('The longest wait for those readings.'),
});

const velocity = z.strictObject({
  softest: midiVelocity.default(20).describe('The MIDI velocity of the softest touch.'),
  hardest: midiVelocity.default(127).describe('The MIDI velocity of the hardest touch.'),
  curve: curve
    .prefault(1)
    .describe(
      'How velocity grows with strength: a power (above 1 late, below 1 early), `square`, or a table.',
    ),
});

const strings = z.strictObject({
  stop: z
    .enum(['highest', 'lowest', 'latest'])
    .default('highest')
    .describe('Which of several held frets stops the string.'),
  'hammer-on': flag
    .default(false)
    .describe('A fret pressed on a sounding string changes its note.'),
  'pull-off': flag.default(false).describe('A fret lifted off a sounding string changes its note.'),
  slide: flag.default(false).describe('Going from a fret to its neighbour changes the note.'),
  'slide-overlap': duration(0, 2 * SECOND)
    .prefault('120ms')
    .describe('The longest that a slide may hold the old fret after the new one is pressed.'),
  'slide-gap': duration(0, 2 * SECOND)
    .prefault('30ms')
    .describe('The longest that a slide may leave the string between the two frets.'),
  'pluck-after': durationOrNever(0, 500 * MILLISECOND)
    .prefault('130ms')
    .describe(
      'A pluck at most this long after its fret carried the note on was meant for that fret.',
    ),
  'wait-for-pluck': z
    .enum(['never', 'often', 'always'])
    .default('often')
    .describe(
      'Whether a fret that would carry a note on waits for a pluck; often: while the player often plucks then.',
    ),
  ring: duration(10 * MILLISECOND, 60 * SECOND)
    .prefault('4s')
    .describe('How long an open string rings.'),
  'damp-by-fret': flag
    .default(true)
    .describe('A fret pressed on a ringing open string ends its note.'),
  'damp-by-hold': durationOrNever(10 * MILLISECOND, 60 * SECOND)
    .prefault('never')
    .describe('A pluck pad held this long after its pluck ends the note.'),
  'late-fret': durationOrNever(0, 200 * MILLISECOND)
    .prefault('22ms')
    .describe('A fret pressed at most this long after its pluck was meant for it.'),
  'wait-for-fret': z
    .enum(['never', 'often', 'always'])
    .default('often')
    .describe('Whether a pluck waits for a late fret; often: while the player is often late.'),
  'early-lift': duration(0, 200 * MILLISECOND)
    .prefault('36ms')
    .describe('A fret that no pluck has used yet still counts this long after it let go.'),
  'resting-thumb': durationOrNever(MILLISECOND, SECOND)
    .prefault('9ms')
    .describe(
      'A finger that is seen longer than this on its way onto a pluck pad only rests there.',
    ),
  brush: durationOrNever(0, 200 * MILLISECOND)
    .prefault('44ms')
    .describe(
      'A weak pluck beside a firm one waits this long, and is left out if it is over by then.',
    ),
  'brush-share': z
    .number()
    .min(0)
    .max(1)
    .default(0.75)
    .describe("How weak: less than this share of the other pluck's level."),
});

const keys = z.strictObject({
  'ring-on': duration(0, 10 * SECOND)
    .prefault('0ms')
    .describe('How long a key sounds on after its finger has left.'),
});

const holes = z.strictObject({
  settle: duration(0, SECOND)
    // Fingers up to 40 ms apart, 9 ms to peel one off and a scan of 4 ms later: two are seen to move up
    // to 53 ms apart.
    .prefault('55ms')
    .describe('How long the fingers must have come to rest before a fingering counts.'),
  'mouth-waits': flag
    .default(true)
    .describe('A touch of the mouth waits for fingers that come right after it as well.'),
  unknown: z
    .enum(['keep', 'end'])
    .default('keep')
    .describe('What a fingering that is not in the chart does to the note that sounds.'),
});

const hits = z.strictObject({
  mask: duration(0, SECOND)
    .prefault('40ms')
    .describe('How long a drum pad that was hit is deaf to further hits.'),
  ring: duration(MILLISECOND, 10 * SECOND)
    .prefault('400ms')
    .describe('How long a hit lasts, for sounds that go on until they are ended.'),
});

const voices = z.strictObject({
  most: z.int().min(1).max(64).default(10).describe('How many notes of one unit sound at once.'),
  keep: z
    .enum(['lowest', 'highest', 'latest', 'loudest'])
    .default('latest')
    .describe('Which notes stay when there are more.'),
});

/** A take carries the module itself, since the file may have changed by the time it is run again. */
const logic = z.union([
  z.null(),
  text
    .meta({ title: 'the path of a TypeScript or JavaScript file' })
    .transform((file) => ({ file, code: null })),
  z.strictObject({
    file: text.describe('What the module is called.'),
    code: text.describe('The module itself, as a recording carries it.'),
  }),
]);

/** The keys of a rules file. Times are text in the file and microseconds after reading. */
export const rulesKeys = z
  .strictObject({
    name: text.optional().describe("The rule set's name; the file's own where it is left out."),
    logic: logic
      .default(null)
      .describe('A file of your own that plays instead of the built-in logic; its path from here.'),
    touch: touch.prefault({}).describe('When a pad counts as touched.'),
    strength: strength.prefault({}).describe('How long to look for how hard a touch was.'),
    velocity: velocity.prefault({}).describe('How loud a touch of some strength is.'),
    strings: strings.prefault({}).describe('How frets and plucks make notes.'),
    keys: keys.prefault({}).describe('How touch keys make notes.'),
    holes: holes.prefault({}).describe('How the fingering of a pipe makes notes.'),
    hits: hits.prefault({}).describe('How drum pads make notes.'),
    voices: voices.prefault({}).describe('How many notes one unit may sound.'),
  })
  .meta({
    title: 'a rule set',
    description: 'The settings of the playing logic; each is optional.',
  });
