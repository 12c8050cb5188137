import type { VerdictKind, Why } from './types.js';

/** What a kind of fault is called, what it looks like, where it may come from, and what to do. */
export interface Advice {
  readonly title: string;
  /** Goes before the list of pads. */
  readonly seen: string;
  readonly cause: string;
  readonly next: string;
}

const HEAT =
  'Soldering and hot glue burn: leave them to trained staff where your local rules say so, and ' +
  'unplug the unit first.';
const JOINT = `A joint may have to be made again. ${HEAT}`;
const BLADE = 'Mind copper edges and blades, as your local rules say.';

/** Advice by kind of fault; dead and noisy pads have theirs by cause, in CAUSE_WORDS. */
const PAD_WORDS: Readonly<Record<Exclude<VerdictKind, 'dead' | 'noisy'>, Advice>> = {
  stuck: {
    title: 'Stuck',
    seen: 'Nearly all readings are at an end of the scale on',
    cause:
      'A short circuit to ground, to the supply or to a neighbour, or a wire on the wrong pin.',
    next:
      'Look along the wire and at both joints for bare copper that touches something, and part it. ' +
      `${JOINT}`,
  },
  held: {
    title: 'Held',
    seen: 'It reads as touched most of the time on',
    cause:
      'Something lies on the pad all the time: a hand, a damp patch, tape that folds over from a ' +
      'neighbour, or the card bends onto it.',
    next: 'Wipe and dry the pad, look at it from both sides, let go of the unit and check again.',
  },
  joined: {
    title: 'Joined',
    seen: 'These pads move together, whichever of them is touched:',
    cause: 'Their tapes or their joints touch, or both wires sit on one input.',
    next:
      'Look for a bridge of tape, solder or a stray strand between them and cut a gap of some ' +
      `millimetres. ${BLADE} ${JOINT}`,
  },
  swapped: {
    title: 'Swapped',
    seen: 'If the pads were touched in the printed order, these answered in another one:',
    cause: 'Their wires changed places.',
    next: 'Exchange the two wires at the board, or learn the wiring again ("wire"); then check again.',
  },
  weak: {
    title: 'Weak',
    seen: 'A touch moves them too little for their noise (5:1 is the least):',
    cause:
      'A cover layer that is too thick or not flat, a small pad, a long wire, a poor joint, or a ' +
      'finger that only brushed it.',
    next:
      'Touch it firmly and check again. If it stays: a thinner cover, then a larger pad, then a ' +
      `shorter wire. ${JOINT}`,
  },
  coupled: {
    title: 'Coupled',
    seen: "A neighbour's touch also moves these, as a share of their own full touch:",
    cause:
      'The pads or their wires lie too close side by side, or one touch moves them very little.',
    next:
      'Lead the two wires apart (some millimetres help) and do not twist them together; leave a gap ' +
      'between the tapes. "calibrate" then takes out what is left.',
  },
  unjudged: {
    title: 'Not judged',
    seen: 'These were touched, but only while other pads were touched too:',
    cause:
      'A touch also moves the pads beside it a little, so only a touch of one pad alone shows how far ' +
      'it stands out.',
    next: 'Let go of all other pads, touch it once by itself, firmly, and check again.',
  },
  drifting: {
    title: 'Drifting',
    seen: 'Its rest wandered within a minute, as a share of a full touch, on',
    cause: 'A warming board, damp hands or card, or tape and wire that move.',
    next:
      'Let the board run for some minutes, dry the card, fix loose tape and wire; then check again. ' +
      'Slow wandering between touches is followed while playing.',
  },
};

/** Advice for dead pads (unwired to untouched) and noisy ones (hum, jumps, hiss). */
const CAUSE_WORDS: Readonly<Record<Exclude<Why, null | 'first'>, Advice>> = {
  unwired: {
    title: 'Dead',
    seen: 'No input is wired to',
    cause: "The build's wiring leaves it out.",
    next: 'Connect its wire to a free input and learn the wiring again ("wire").',
  },
  unheard: {
    title: 'Dead',
    seen: 'No reading at all came from',
    cause:
      'The board does not read that input, or sends fewer inputs than the instrument has pads.',
    next: "Check how many inputs the board's sketch reads, and whether the wiring names the right one.",
  },
  frozen: {
    title: 'Dead',
    seen: 'It reads one and the same value all the time on',
    cause: 'No wire reaches that input, or the board does not really read it.',
    next:
      'Check the wire at the board first: pull it gently; it must not come out. Then look at the ' +
      `board's sketch. ${JOINT}`,
  },
  elsewhere: {
    title: 'Dead',
    seen: 'An input that nothing is wired to moved in place of',
    cause: 'The wire sits one or more pins away from where the wiring says.',
    next: 'Move the wire to its input, or learn the wiring again ("wire"); then check again.',
  },
  untouched: {
    title: 'Dead',
    seen: 'Readings came, but no touch was seen on',
    cause: 'It was not touched, or its wire is broken between the board and the tape.',
    next:
      'Touch it firmly and check again. If it stays so, press on the joint under the tape while ' +
      `somebody touches the pad: if it answers then, the joint is the fault. ${HEAT}`,
  },
  hum: {
    title: 'Noisy: mains hum',
    seen: 'Hum at the mains frequency covers much of what a touch moves on',
    cause:
      'A wire that picks up the mains: long, near a power lead, lamp or charger, or with an open joint.',
    next:
      'Move the unit and its cable away from power leads, try the computer on its battery, shorten the ' +
      `wire. If only one pad hums, look at its joint. ${HEAT}`,
  },
  jumps: {
    title: 'Noisy: jumps',
    seen: 'At rest its readings jump now and then on',
    cause: 'A loose joint or a cracked strand that makes and loses contact.',
    next: `Move the wire gently while you watch: where it jumps is the fault. Fix that joint. ${HEAT}`,
  },
  hiss: {
    title: 'Noisy',
    seen: 'Its readings flicker too much at rest for what a touch moves on',
    cause: 'A long or loose wire, a poor joint, or a supply that is not clean.',
    next:
      'Plug the board straight into the computer, without a hub; shorten the wire and fix it to the ' +
      `card. ${JOINT}`,
  },
};

/** Something lay on a pad at first, and was gone later. */
const HELD_FIRST: Advice = {
  title: 'Held',
  seen: 'It read as touched at first, when the unit should have been let go, on',
  cause: 'A hand or a sleeve lay on it.',
  next: 'Let go of the whole unit for two seconds, then check again.',
};

/** What to say of pads with one kind of fault. */
export function adviceOf(kind: VerdictKind, why: Why): Advice {
  if (why === 'first') return HELD_FIRST;
  if (kind === 'dead') return CAUSE_WORDS[why ?? 'untouched'];
  if (kind === 'noisy') return CAUSE_WORDS[why ?? 'hiss'];
  return PAD_WORDS[kind];
}

/** Advice about the unit as a whole; what was seen is put in by whoever knows the figures. */
export const UNIT_WORDS: Readonly<
  Record<'lost' | 'late' | 'slow' | 'uneven' | 'spare', Omit<Advice, 'seen'>>
> = {
  lost: {
    title: 'Lost scans',
    cause: 'A poor cable or hub, a weak wireless network, or a computer that is too busy.',
    next: 'Try another cable, plug in without a hub, or wire the board instead of using Wi-Fi.',
  },
  late: {
    title: 'Late scans',
    cause:
      'A computer that is too busy, a hub shared with others, or a wireless network. This wire does not ' +
      'number its messages, so some of them may also have been lost on the way.',
    next: 'Close other programs, and connect the board without a hub or Wi-Fi; then check again.',
  },
  slow: {
    title: 'Slow scanning',
    cause: "The board's sketch waits too long between scans, or takes too many samples a pad.",
    next: 'Let the board scan at least 100 times a second, better 250.',
  },
  uneven: {
    title: 'Uneven scanning',
    cause:
      'A wireless network, a hub shared with others, or a board that does other things between.',
    next: 'Wire the board straight to the computer, and let it do nothing but scan.',
  },
  spare: {
    title: 'Spare inputs',
    cause: 'Unused pins, or a wire on a pin that the wiring does not name.',
    next: 'Nothing to do where those pins are meant to be free; else learn the wiring again ("wire").',
  },
};
