import { seatRules } from './seat-rules.js';

const plural = (count: number, one: string, many: string): string =>
  `${String(count)} ${count === 1 ? one : many}`;

/** The seat view. */
export const seat = {
  rules: seatRules,
  title: (name: string) => `Seat ${name}`,
  from: (words: string) => `Readings come from: ${words}`,
  loading: 'Waiting for the room …',
  parts: 'On this page',
  unknown: {
    what: (number: number) => `This room has no seat ${String(number)}`,
    next: 'Go back to the room and choose one of its seats.',
  },
  plugged: {
    waiting: 'not heard yet',
    here: 'plugged in',
    lost: 'pulled out',
  },
  build: {
    of: (name: string) => `calibrated as “${name}”`,
    none: 'calibrated as it starts',
  },
  moments: {
    lost: {
      what: 'What is shown here is how the seat was last',
      next:
        'Playing and a recording go on without the page, which tries again by itself. Wiring or ' +
        'calibration that was begun ends by itself if no page comes back.',
    },
    ended: {
      what: 'Nothing more comes from this seat: the room has ended',
      next: 'Start “play” again on the computer. What was recorded can be looked at then too.',
    },
    waiting: {
      what: 'This unit has not been heard yet',
      next:
        'Plug its board in, and wait for a few seconds. If nothing comes: try another cable (some ' +
        'only charge), plug in without a hub, and look whether the board’s light is on.',
    },
    pulled: {
      what: 'This unit was pulled out',
      next: 'Its notes have been ended. Plug it in again: it goes on by itself, as it was.',
    },
    own: {
      what: 'This board decides by itself what is a touch',
      next:
        'There is nothing to wire or to calibrate here, and its levels are only “touched” or “not ' +
        'touched”. To see more, let its sketch send raw readings.',
    },
    plugHere: 'Plug it in here',
  },
  levels: {
    heading: 'Levels',
    help: 'How much each pad feels, over the last seconds. A touch begins above the long dashes, and may end under the dots.',
    picture: (seconds: number) =>
      `Picture of all pads’ levels over the last ${String(seconds)} seconds; the table of pads says the same in words.`,
    freeze: 'Freeze',
    frozen: 'Frozen. Space goes on.',
    going: 'Space freezes the picture.',
    span: 'Time shown',
    seconds: (seconds: number) => `${String(seconds)} s`,
    ago: (seconds: number) => `${String(seconds)} s ago`,
    now: 'now',
    begins: 'a touch begins',
    ends: 'a touch may end',
    touched: 'touched',
    level: 'level',
    nothing: 'Nothing has come from this unit yet.',
  },
  pads: {
    heading: 'Pads',
    help: 'What is found out while the pads are touched. Touch each of them firmly once, one after the other.',
    grades: {
      good: 'good',
      weak: 'weak',
      bad: 'bad',
      unheard: 'not heard',
    },
    none: 'No verdict yet: touch each pad once.',
    count: {
      good: (count: number) => `${String(count)} good`,
      weak: (count: number) => `${String(count)} weak`,
      bad: (count: number) => `${String(count)} bad`,
      unheard: (count: number) => `${String(count)} not heard yet`,
    },
    allGood: 'All pads are good.',
    mend: 'To look at',
    table: 'All pads',
    columns: { pad: 'Pad', level: 'Now', verdict: 'Verdict' },
    levels: {
      rest: 'at rest',
      trace: 'a trace',
      light: 'light',
      half: 'about half',
      full: 'full',
      over: 'more than full',
    },
    touched: 'touched',
    free: 'free',
    ratio: (ratio: string) => `signal to noise ${ratio} to 1`,
    what: 'What is wrong',
    cause: 'Probably because',
    next: 'Do this next',
    untried: (pads: string) =>
      `Not heard yet: ${pads}. Touch each once, firmly; if nothing changes, its wire or joint may be broken.`,
    care: {
      heading: 'Take care',
      heat:
        'Soldering irons and hot glue burn. Unplug the unit first, keep to your local rules, and leave ' +
        'this work to trained staff where they say so.',
      blade:
        'Copper tape has sharp edges, and blades cut. Cut away from yourself and others, on a mat, as ' +
        'your local rules say.',
    },
  },
  guide: {
    heading: 'Wiring and calibration',
    help: 'One pad after the other is asked for. The seat is silent meanwhile; the others play on.',
    wire: {
      begin: 'Learn the wiring',
      about:
        'For a new unit, or after wires were moved: touch each pad once as it is asked for, and which ' +
        'wire is which pad is learned. Takes about a minute.',
      name: 'Learning the wiring',
    },
    calibrate: {
      begin: 'Calibrate',
      about:
        'For pads that are too weak, too strong or sound by themselves: touch each pad firmly, and how ' +
        'it reads is learned anew. Takes about a minute.',
      name: 'Calibrating',
    },
    own: 'This board decides by itself what is a touch: there is nothing to wire or to calibrate.',
    unheard: 'Plug the unit in first: its pads must be heard to be learned.',
    guest: 'A guest cannot begin this.',
    elsewhere: (name: string) =>
      `Seat ${name} is being wired or calibrated, and only one can be at a time. Finish there first.`,
    there: (name: string) => `Go to seat ${name}`,
    silent: 'This seat is silent until this is over; the other seats play on.',
    letGo: 'Let go of all pads',
    letGoMore: 'Take your hands off the unit for a moment, so that rest can be told from touch.',
    touch: (pad: string) => `Touch: ${pad}`,
    touchAny: 'Touch each pad firmly',
    allAsked: 'All pads have had their turn: kept in a moment',
    saving: 'Saving …',
    done: 'Done',
    failed: 'It did not work',
    progress: (done: number, of: number) => `${String(done)} of ${String(of)} pads`,
    undo: 'Take the last pad back',
    skip: 'Skip this pad',
    keep: 'Keep what is done',
    end: 'End, change nothing',
    close: 'Close',
    again: 'Once more',
    keys: 'Keys here: U takes back, S skips.',
    doneList: (count: number) => `Done: ${plural(count, 'pad', 'pads')}`,
    nothingToUndo: 'No pad is done yet.',
    file: (file: string) => `Saved as ${file}, and in effect now.`,
    unfit: (count: number) => `${plural(count, 'pad is', 'pads are')} not fit yet:`,
    allFit: 'All pads are fit.',
    next: 'Next:',
    unchanged: 'Nothing was changed: the seat plays as before.',
    drawingPlain: 'Drawing of the instrument.',
    drawing: (pad: string) => `Drawing of the instrument; ${pad} is marked.`,
  },
  record: {
    heading: 'Recording',
    help: 'A take holds what the pads read, so that it can be looked at and run again with other rules.',
    begin: 'Record this seat',
    end: 'End the recording',
    on: 'Recording',
    ofRoom: 'The whole room is being recorded.',
    ofOther: (name: string) => `Seat ${name} is being recorded; one recording at a time.`,
    elapsed: 'Time',
    scans: 'Scans',
    file: 'File',
    done: 'Recorded',
    writing: 'The file is being finished …',
    open: (name: string) => `Look at ${name}`,
    guest: 'A guest cannot record.',
  },
};
