import { drumName } from '../../../instrument/drum-names.js';
import type { Fault, Note } from '../take/desk/messages.js';
import { ruleWords } from './rule-words.js';
import {
  changesWords,
  headline,
  KIND_WORDS,
  share,
  spanWords,
  verdictWords,
} from '../../../compare/words.js';

/** What a General MIDI percussion key is called. */
const drums: (key: number) => string = drumName;

/**
 * The sounds of General MIDI, eight to a group in the standard's order (names in our own words, from
 * memory), and the drum kits that synthesizers commonly have, by program counted from 1 (from memory).
 */
const sounds: {
  readonly groups: readonly (readonly [group: string, names: readonly string[]])[];
  readonly kits: Readonly<Record<number, string>>;
} = {
  groups: [
    [
      'Pianos',
      [
        'grand piano',
        'bright piano',
        'electric grand piano',
        'honky-tonk piano',
        'electric piano, soft',
        'electric piano, bell-like',
        'harpsichord',
        'clavinet',
      ],
    ],
    [
      'Bells and bars',
      [
        'celesta',
        'glockenspiel',
        'music box',
        'vibraphone',
        'marimba',
        'xylophone',
        'tubular bells',
        'dulcimer',
      ],
    ],
    [
      'Organs',
      [
        'drawbar organ',
        'percussive organ',
        'rock organ',
        'church organ',
        'reed organ',
        'accordion',
        'harmonica',
        'tango accordion',
      ],
    ],
    [
      'Guitars',
      [
        'guitar, nylon strings',
        'guitar, steel strings',
        'electric guitar, jazz',
        'electric guitar, clean',
        'electric guitar, muted',
        'electric guitar, overdriven',
        'electric guitar, distorted',
        'guitar harmonics',
      ],
    ],
    [
      'Basses',
      [
        'acoustic bass',
        'electric bass, finger',
        'electric bass, pick',
        'fretless bass',
        'slap bass 1',
        'slap bass 2',
        'synth bass 1',
        'synth bass 2',
      ],
    ],
    [
      'Bowed strings and harp',
      [
        'violin',
        'viola',
        'cello',
        'double bass',
        'tremolo strings',
        'plucked strings',
        'harp',
        'timpani',
      ],
    ],
    [
      'Ensembles',
      [
        'string ensemble',
        'slow string ensemble',
        'synth strings 1',
        'synth strings 2',
        'choir, aah',
        'choir, ooh',
        'synth voice',
        'orchestra hit',
      ],
    ],
    [
      'Brass',
      [
        'trumpet',
        'trombone',
        'tuba',
        'muted trumpet',
        'French horn',
        'brass section',
        'synth brass 1',
        'synth brass 2',
      ],
    ],
    [
      'Reeds',
      [
        'soprano saxophone',
        'alto saxophone',
        'tenor saxophone',
        'baritone saxophone',
        'oboe',
        'English horn',
        'bassoon',
        'clarinet',
      ],
    ],
    [
      'Pipes',
      [
        'piccolo',
        'flute',
        'recorder',
        'pan flute',
        'blown bottle',
        'shakuhachi',
        'whistle',
        'ocarina',
      ],
    ],
    [
      'Synth leads',
      [
        'lead: square',
        'lead: sawtooth',
        'lead: calliope',
        'lead: chiff',
        'lead: charang',
        'lead: voice',
        'lead: fifths',
        'lead: bass',
      ],
    ],
    [
      'Synth pads',
      [
        'pad: new age',
        'pad: warm',
        'pad: polysynth',
        'pad: choir',
        'pad: bowed',
        'pad: metallic',
        'pad: halo',
        'pad: sweep',
      ],
    ],
    [
      'Synth effects',
      [
        'effect: rain',
        'effect: soundtrack',
        'effect: crystal',
        'effect: atmosphere',
        'effect: brightness',
        'effect: goblins',
        'effect: echoes',
        'effect: sci-fi',
      ],
    ],
    [
      'From many countries',
      ['sitar', 'banjo', 'shamisen', 'koto', 'kalimba', 'bagpipe', 'fiddle', 'shanai'],
    ],
    [
      'Struck',
      [
        'tinkle bell',
        'agogo',
        'steel drums',
        'wood block',
        'taiko drum',
        'melodic tom',
        'synth drum',
        'reverse cymbal',
      ],
    ],
    [
      'Noises',
      [
        'guitar fret noise',
        'breath noise',
        'seashore',
        'bird',
        'telephone',
        'helicopter',
        'applause',
        'gunshot',
      ],
    ],
  ],
  kits: {
    1: 'standard kit',
    9: 'room kit',
    17: 'power kit',
    25: 'electronic kit',
    26: 'analogue kit',
    33: 'jazz kit',
    41: 'brush kit',
    49: 'orchestra kit',
  },
};

/** The frame around every view. */
const shell = {
  title: 'pluckwork',
  skip: 'Go to the contents',
  views: 'Views',
  roomView: 'Room',
  takesView: 'Takes',
  settings: 'Language and light',
  language: 'Language',
  scheme: 'Light',
  schemes: { auto: 'As the device', light: 'Bright', dark: 'Dark' },
  close: 'Close',

  link: {
    connecting: 'Connecting',
    open: 'Connected',
    lost: 'Connection lost: trying again by itself',
    refused: 'Refused',
  },
  over: 'Ended',
  lostHelp:
    'What you see is how it was last. Playing goes on without this page. If this stays, look whether pluckwork still runs, and whether this device is in the same network.',
  refusedHelp:
    'This link does not open the page: its key is missing, or no longer holds. Ask for the link that pluckwork printed as it started, and open that.',
  ended:
    'The room has ended: nothing more will come. Start it again, and this page follows by itself.',
  guest: 'You are looking on: everything is shown, and nothing can be changed with this link.',
  waiting: 'Waiting for the room…',
  notAsked: 'Not done: there is no connection to pluckwork just now. Try again once it is back.',

  silence: 'Silence',
  silenceHelp: 'Ends all that sounds, in every engine. Key: Escape.',
  silenced: 'Silenced: all that sounded has ended.',
  silencedHere: 'Silenced on this device. As a guest you cannot silence the room.',
  notSilenced: (why: string) =>
    `Not silenced: ${why} If it is too loud, turn the speaker itself down.`,

  notices: 'What happened',
  noNotices: 'Nothing yet.',
  noticeLevel: { info: 'For your information', warn: 'Look at this', error: 'Needs fixing' },
  noticeWhere: 'Where',
  noticeNext: 'What to do',
  toLookAt: (count: number) =>
    count === 1 ? 'One thing to look at' : `${String(count)} things to look at`,
  recording: (seat: string | null) => `Recording ${seat ?? 'the whole room'}`,
  olderNotices: (count: number) => `Older (${String(count)})`,
  andMore: (count: number) => (count === 1 ? 'And one more.' : `And ${String(count)} more.`),

  noSeat: (name: string) => `There is no seat called ${name} in this room.`,
  seatLeft: (name: string) => `${name} has left the room`,
  seatLeftNext:
    'Its seat is no longer in the room file. When it is put back there, it shows here by itself.',
  seatCame: (name: string) => `${name} has joined the room`,
  seatRefitted: (name: string, instrument: string) =>
    `${name} has another instrument now: ${instrument}`,
  toRoom: 'Back to the room',
  broken: 'This part of the page failed. Load the page again; playing is not touched by it.',
};

/** The room view, and the drawing of an instrument wherever it is shown. */
const room = {
  seats: (count: number) => (count === 1 ? 'One seat' : `${String(count)} seats`),
  plugged: {
    waiting: 'Listening, nothing heard yet',
    here: 'Plugged in',
    silent: 'Silent: its board stopped sending',
    lost: 'Unplugged',
  },
  from: 'From',
  openSeat: (name: string) => `Look closely at ${name}`,
  plug: 'Plug in',
  unplug: 'Pull out',

  sounding: 'Sounds',
  nothingSounds: 'nothing',
  mutedWord: 'muted',
  othersSolo: 'silent: another seat is solo',
  guided: {
    wire: 'silent: its wiring is being learned',
    calibrate: 'silent: it is being calibrated',
  },

  level: 'Level',
  percent: (share: number) => `${String(Math.round(share * 100))} %`,
  mute: 'Mute',
  solo: 'Solo',
  lead: 'Lead',
  muteHelp: 'This seat is silent.',
  soloHelp: 'Only seats that are solo are heard.',
  leadHelp: 'While this seat sounds, the others are turned down.',
  pan: 'Left and right',
  panWords: (pan: number) => {
    const share = `${String(Math.round(Math.abs(pan) * 100))} %`;
    return Math.abs(pan) < 0.005 ? 'middle' : `${share} ${pan < 0 ? 'left' : 'right'}`;
  },
  sound: 'Sound',
  kit: 'Drum kit',
  rules: 'Rules',
  rulesTried: 'tried, not kept',
  more: 'Sound and rules',
  ofSeat: (what: string, seat: string) => `${what}, ${seat}`,
  refused: 'Not done',

  together: 'Everybody together',
  shares: 'Which notes, and how many at once',
  loudnessMeans: 'What LUFS means',
  noLoudness: 'It does not tell how loud it is.',
  notHeard: 'Nothing was heard of it yet.',
  silentNow: 'silent',
  lufs: (value: number) => `${value.toFixed(1).replace('-', '−')} LUFS`,
  momentary: 'now (0.4 s)',
  shortTerm: 'last 3 s',
  ceilingAt: (lufs: string) => `Ceiling: ${lufs}.`,
  noCeiling: 'It has no ceiling.',
  loudnessWords: {
    silent: 'Nothing sounds.',
    below: 'Well below the ceiling.',
    near: 'Close to the ceiling.',
    held: (dB: number) =>
      `Held down by ${dB.toFixed(1)} dB, so that it gets no louder than the ceiling.`,
  },
  loudnessHelp:
    'LUFS is how loud the sound is as it leaves pluckwork; 10 more sounds about twice as loud. How loud it is in the room is set by the speaker: begin with it turned low.',
  engineOn: 'On',
  engineOf: (name: string) => `${name}: on`,
  engineOff: 'Turned off: silent.',

  scale: 'Notes that are played',
  scaleHelp: 'Other notes go to the nearest of these.',
  allNotes: 'Every note',
  otherNotes: 'Chosen one by one',
  key: 'Key',
  noteNames: ['C', 'C♯', 'D', 'E♭', 'E', 'F', 'F♯', 'G', 'A♭', 'A', 'B♭', 'B'],
  scaleNames: {
    major: 'major',
    minor: 'minor',
    majorPentatonic: 'major pentatonic',
    minorPentatonic: 'minor pentatonic',
    blues: 'blues',
    dorian: 'dorian',
    mixolydian: 'mixolydian',
    harmonicMinor: 'harmonic minor',
    wholeTone: 'whole tone',
  },
  inScale: (note: string) => `${note} is played`,
  duck: 'Others under a lead',
  duckWords: (dB: number) => (dB === 0 ? 'not turned down' : `${String(dB)} dB down`),
  voices: 'Notes at once',
  voicesWords: (count: number) => (count === 1 ? 'one' : String(count)),

  drawing: (name: string, pads: number) => `${name}: a drawing of its ${String(pads)} pads`,
  playHere: (name: string) => `Play ${name} here`,
  playHow: {
    strings:
      'Each row is a string: hold a fret by its number, then touch the dashed pad at the end, which plucks. The dashed pad alone plucks the open string.',
    keys: 'Each pad is a key: it sounds while it is touched.',
    holes: 'Cover holes by their numbers, then hold the dashed pad, the mouth, to blow.',
    hits: 'Each pad is a drum.',
  },
  playHelp:
    'Touch the pads with fingers or the mouse: the nearer to the middle of a pad, the stronger. By keyboard: arrow keys go from pad to pad, Space holds one down (with Shift: at full strength), Enter keeps it held until Enter is pressed again, so that one mouse is enough for what takes two hands, Escape lets go of all and silences the room.',
  pad: {
    fret: (open: string, fret: number) => `${open} fret ${String(fret)}`,
    pluck: (open: string) => `${open} pluck`,
    hole: (hole: number) => `hole ${String(hole)}`,
    mouth: 'mouth',
  },
};

/** Rules as controls. Keys are those of a rules file; one that is not here is shown as it is. */
const seatRules = {
  heading: 'Rules',
  help: 'How touches become notes. Try a change at once while somebody plays; only what you keep is written.',
  playing: (name: string) => `Plays by “${name}”`,
  choose: 'Other rules',
  take: 'Play by these',
  takeLoses: 'What was tried and not kept is let go.',
  changed: 'changed',
  tried: 'tried, not kept',
  changes: (count: number) =>
    count === 1 ? '1 change is not tried yet' : `${String(count)} changes are not tried yet`,
  triedCount: (count: number) =>
    count === 1
      ? '1 value is tried, and not kept yet'
      : `${String(count)} values are tried, and not kept yet`,
  unchanged: 'As in the file.',
  try: 'Try',
  back: 'Back to the file',
  keepAs: 'Keep as',
  keep: 'Keep',
  kept: (name: string) => `Kept as “${name}”: this seat plays by it from now on.`,
  keepHelp: 'Writes a rules file of that name, which the room then names for this seat.',
  badName: 'A name is letters, digits, spaces, - and _, and begins with a letter or digit.',
  exists: (name: string) =>
    `“${name}” is there already, and is changed only where this seat plays by it.`,
  refusedBefore: 'What was tried last was refused:',
  guest: 'A guest cannot change rules.',
  yes: 'yes',
  no: 'no',
  never: 'never',
  unit: 'Unit',
  units: { us: 'microseconds', ms: 'milliseconds', s: 'seconds', min: 'minutes' },
  faults: {
    number: 'This is no number.',
    whole: 'This must be a whole number.',
    least: (least: string) => `The least is ${least}.`,
    range: (least: string, most: string) => `This must be from ${least} to ${most}.`,
    time: 'Write a time as a number, 0 or more.',
    empty: 'Something must be written here.',
  },
  ...ruleWords('en'),
  /** Words of a rules file that are chosen among. */
  choices: {} as Readonly<Record<string, string>>,
};

const counted = (count: number, one: string, many = `${one}s`): string =>
  `${String(count)} ${count === 1 ? one : many}`;

/** The seat view. */
const seat = {
  rules: seatRules,
  title: (name: string) => `Seat ${name}`,
  from: (words: string) => `Readings come from: ${words}`,
  parts: 'On this page',
  plugged: {
    waiting: 'listening, nothing heard yet',
    here: 'plugged in',
    silent: 'silent: its board stopped sending',
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
    silent: {
      what: 'The board of this unit has stopped sending',
      next:
        'Its notes were ended. Check its power, its cable or its network. It plays again as soon as ' +
        'readings come; let go of a pad before you touch it again.',
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
    rests: {
      what: 'The calibration of this seat does not fit the unit that is plugged in',
      next:
        'If this is another unit, name its own build in the room file. If it is the right one, its wires ' +
        'were moved or its board was changed: learn the wiring again, below. Until then it plays ' +
        'calibrated as it starts, perhaps with pads in the wrong places.',
    },
    scale: {
      what: 'The board sends readings of another size than when this seat was calibrated',
      next:
        'Check that the board’s sketch is still the same, and “full:” in the room file; then calibrate ' +
        'again, below. Until then it plays calibrated as it starts.',
    },
    range: {
      what: 'The calibration of this seat holds readings that this board cannot send',
      next:
        'Set “full:” in the room file to what the board really sends; if it is right, calibrate again, ' +
        'below. Until then it plays calibrated as it starts.',
    },
    wires: {
      what: 'Some wires seem to have changed places since this seat was calibrated',
      next: 'Put them back, or learn the wiring again, below. The messages of the room name the pads.',
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
  },
  pads: {
    heading: 'Pads',
    help: 'What is found out while the pads are touched. Touch each of them firmly once, one after the other.',
    grades: {
      good: 'good',
      weak: 'weak',
      bad: 'bad',
      heard: 'heard',
      unheard: 'not heard',
    },
    none: 'Touch each pad once, firmly: what was not touched has no verdict yet.',
    count: {
      good: (count: number) => `${String(count)} good`,
      weak: (count: number) => `${String(count)} weak`,
      bad: (count: number) => `${String(count)} bad`,
      heard: (count: number) => `${String(count)} heard, not judged yet`,
      unheard: (count: number) => `${String(count)} not heard yet`,
    },
    allGood: 'All pads are good.',
    fix: 'To look at',
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
    what: 'What is wrong',
    cause: 'Probably because',
    next: 'Do this next',
    /** Names of pads, or null where they are many. */
    together: (pads: string | null) =>
      `Heard, but only together with others${pads === null ? '' : `: ${pads}`}. To judge their signal, touch each once by itself, firmly, with all other pads let go.`,
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
        'it reads is learned again. Takes about a minute.',
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
    undo: 'Undo the last pad',
    skip: 'Skip this pad',
    keep: 'Keep what is done',
    end: 'End, change nothing',
    close: 'Close',
    again: 'Once more',
    keys: 'Keys here: U for Undo, S for Skip.',
    file: (file: string) => `Saved as ${file}, and in effect now.`,
    unfit: (count: number) => `${counted(count, 'pad is', 'pads are')} not fit yet:`,
    allFit: 'All pads are fit.',
    next: 'Next:',
    unchanged: 'Nothing was changed: the seat plays as before.',
  },
  record: {
    heading: 'Recording',
    help: 'A take holds what the pads read, so that it can be looked at and run again with other rules.',
    begin: 'Record this seat',
    end: 'End the recording',
    on: 'Recording',
    ofRoom: 'The whole room is being recorded.',
    ofOther: (name: string) => `Seat ${name} is being recorded; one recording at a time.`,
    scans: 'Scans',
    file: 'File',
    done: 'Recorded',
    writing: 'The file is being finished …',
    open: (name: string) => `Look at ${name}`,
    guest: 'A guest cannot record.',
  },
};

/** The texts of "Sound here". Figures and their sources: docs/loudness.md. */
const sound = {
  heading: 'Sound here',
  about: 'This device can be the loudspeaker: it then sounds all that is played in the room.',
  turnOn: 'Sound on this device',
  turnOff: 'Turn it off',
  opening: 'Getting ready …',
  caution:
    'Before you turn it on: turn this device’s volume down. One player plays as hard as they can, you set the volume so that it is comfortable at the nearest ear, and only then the others join in. No headphones or earphones for this.',
  states: {
    off: 'Off: nothing sounds on this device.',
    on: 'On: this device sounds the room.',
    waiting: 'On, but silent: there is no link to pluckwork.',
    held: 'The browser holds the sound back until you touch the page.',
    hidden: 'Silent while this page is hidden.',
    failed: 'Failed again and again, and stays silent. Turn it off and on again.',
    closed: 'Off: nothing sounds on this device.',
  },
  resume: 'Let it sound',
  refused: (why: string) => `It cannot sound the room: ${why}`,
  notHere: (why: string) =>
    `This browser cannot sound the room. Try another browser, or a newer one. (${why})`,
  stay: 'Keep this page in view and the screen on: hidden, it is silent.',
  doubled: (names: string) =>
    `Also switched on: ${names}. Two loudspeakers in one room sound doubled, one a little later. Turn the other one off in the room view, or this one here.`,
  level: 'Level of this device',
  levelWords: (percent: number, decibels: string) =>
    percent === 0 ? 'silent' : `${String(percent)} % (${decibels} dB)`,
  loudness: 'Loudness, last 3 seconds',
  standing: {
    silent: 'Nothing sounds',
    quiet: 'Well below the limit',
    usual: 'Below the limit',
    near: 'Close to the limit',
    held: 'Held down at the limit',
  },
  lufs: (now: string, most: string) => `${now} of at most ${most} LUFS`,
  lufsOpen: (now: string) => `${now} LUFS`,
  peak: (now: string, most: string) => `Highest peak ${now} of at most ${most} dBTP`,
  heldBy: (decibels: string) => `turned down by ${decibels} dB`,
  nothing: 'silence',
  delay: (ms: number) => `Sounds about ${String(ms)} ms after the touch.`,
  gaps: (count: number) =>
    count === 1
      ? 'It broke off once. If it does so again, close other programs and pages on this device.'
      : `It broke off ${String(count)} times. Close other programs and pages on this device.`,
  ears: 'How loud is too loud?',
  earsText: [
    'These figures are about the signal, not about the room: the volume of the device and the loudspeaker make sound pressure of them. Only a sound level meter near an ear can tell that.',
    'As a stand-in, for personal devices (ITU-T H.870): 80 dB(A) for adults and 75 dB(A) for children for 40 hours a week, and each 3 dB more halves the time. For work: 80 and 85 dB(A) over 8 hours call for measures, and 87 is the limit (EU directive 2003/10/EC).',
    'Your local rules, and staff trained in them, come first, above all where somebody’s hearing needs care. Take a break when ears ring or voices sound dull, and agree on a sign for silence.',
  ],
};

/** What is wrong, and what to do next. What the core and the service say is English. */
interface FaultWords {
  readonly what: string;
  readonly next: string;
  /** True where `what` is the core's or the service's own, in English. */
  readonly english?: boolean;
}

const COMMANDS = 'pluckwork compare TAKE --rules A --rules B';

const takeFaults = {
  /** @param take its name, for commands */
  fault: (fault: Fault, take: string): FaultWords => {
    switch (fault.kind) {
      case 'words':
        return { what: fault.what, next: fault.next, english: true };
      case 'unreachable':
        return {
          what: 'The take, or something that it names, could not be fetched.',
          next: 'See whether the computer is awake and on the same network, then try again. Takes of this device that carry their instrument open without it.',
        };
      case 'not-a-take':
        return {
          what: `This file is no take: ${fault.what}.`,
          next: 'Choose a file that the recorder wrote; its name ends in .take.jsonl or .take.jsonl.gz.',
        };
      case 'gzip':
        return {
          what: 'This file is packed (gzip), and nothing of it can be unpacked.',
          next: 'It is damaged. Use another copy of it.',
        };
      case 'too-long':
        return {
          what: 'This file is too long for this page, which holds all of it in memory.',
          next: 'Choose a shorter one, or use the commands rerun, score and compare on the computer.',
        };
      case 'own-logic':
        return {
          what: `The rules “${fault.rules}” are played by a module of your own (${fault.file}), which cannot run on this page.`,
          next: `Choose other rules here, or on the computer run: ${COMMANDS.replace('TAKE', take)}`,
        };
      case 'made':
        return {
          what: 'The notes of this take were made on another computer, so that no rules here change them.',
          next: 'Open a take that was recorded there.',
        };
      case 'plan':
        return {
          what: `${fault.what.charAt(0).toUpperCase()}${fault.what.slice(1)}.`,
          next: `On the computer, name it: ${COMMANDS.replace('TAKE', take)} --${fault.instead} NAME`,
          english: true,
        };
      case 'not-notes':
        return {
          what: fault.take ? 'This is a take, not wanted notes.' : 'This file holds no notes.',
          next: fault.take
            ? 'Make notes of it on the computer: pluckwork rerun TAKE --notes FILE'
            : 'Choose a notes file: one note a line, as “pluckwork rerun” writes them.',
        };
      case 'broken':
        return {
          what: `This part of the page failed: ${fault.what}.`,
          next: 'Load the page again; playing is not touched by that.',
        };
    }
  },
  note: (note: Note): string => {
    switch (note.kind) {
      case 'cut-gzip':
        return 'The packed file breaks off: it was read as far as it goes.';
      case 'lines': {
        const of = note.of === 'take' ? 'the take' : 'the wanted notes';
        const first = `line ${String(note.line)}: ${note.what}`;
        return note.count === 1
          ? `One line of ${of} could not be read (${first}).`
          : `${String(note.count)} lines of ${of} could not be read (the first is ${first}).`;
      }
      case 'none-wanted':
        return 'No notes are wanted, so that every note counts as not wanted.';
      case 'swapped-logic':
        return `From ${(note.t / 1e6).toFixed(2)} s on a module of your own played (${note.file}); here the built-in logic plays instead. “pluckwork compare” runs both.`;
      case 'others-logic':
        return `A module of their own plays at ${note.seats.join(', ')}; here the built-in logic plays there instead. “pluckwork explain” runs it.`;
      case 'failed':
        return `The playing logic failed at ${(note.t / 1e6).toFixed(2)} s and ended its notes: ${note.what}. It went on from there.`;
    }
  },
};

/** The take view: what two rule sets make of a take, and why. */
const take = {
  ...takeFaults,
  list: {
    heading: 'Takes',
    help: 'A take holds what the pads read. Open one to see and hear what other rules would have made of it.',
    none: 'No take was recorded yet. Record one on a seat, or open one from this device.',
    waiting: 'The list comes once the room is connected.',
    columns: { name: 'Take', at: 'Recorded', size: 'Size', of: 'Of' },
    room: 'the whole room',
    seat: 'one seat',
    back: 'All takes',
    size: (bytes: number) =>
      bytes < 999_500
        ? `${String(Math.max(1, Math.round(bytes / 1000)))} kB`
        : `${(bytes / 1e6).toFixed(1)} MB`,
  },
  device: {
    open: 'Open a take from this device',
    help: 'It stays on this device: nothing is sent.',
  },

  choose: {
    heading: 'What is compared',
    seat: 'Seat',
    noName: 'The only seat',
    a: 'A, rules',
    b: 'B, rules',
    played: (rules: string | null) =>
      rules === null ? 'As it was played' : `As it was played (${rules})`,
    files: 'Rules files',
    now: 'What plays at a seat now',
    nowAt: (seat: string, rules: string, tried: number) =>
      tried === 0
        ? `${seat}: ${rules}`
        : `${seat}: ${rules}, with ${counted(tried, 'value')} tried`,
    gone: 'That seat is not in the room any more. Choose other rules.',
    wanted: 'Judge by wanted notes',
    wantedHelp:
      'A notes file of this device: what should have sounded. Each difference then says which side is right.',
    wantedIs: (name: string, count: number) => `${name}: ${counted(count, 'wanted note')}`,
    wantedOff: 'Judge no more',
  },
  busy: {
    fetch: 'Fetching the take',
    read: 'Reading the take',
    a: 'Running the take by A',
    b: 'Running the take by B',
    levels: 'Drawing the levels',
    explain: 'Running the take again with one rule changed at a time',
  },

  summary: {
    heading: 'In short',
    headline,
    of: (instrument: string, seconds: string) => `${instrument}, ${seconds} of playing.`,
    side: 'Side',
    rules: 'Rules',
    notes: 'Notes',
    score: 'By what was wanted',
    count: (count: number) => counted(count, 'note'),
    scored: (f: number, right: number, wanted: number, added: number) =>
      `F ${share(f)}: ${String(right)} of ${counted(wanted, 'wanted note')} right, ${String(added)} not wanted`,
  },

  place: {
    string: (open: string) => `${open} string`,
    open: (open: string) => `${open} open`,
    pipe: 'pipe',
  },
  seconds: (seconds: number, digits: number) => `${seconds.toFixed(digits)} s`,
  span: spanWords,

  view: {
    heading: 'Levels and notes',
    picture: (pads: number, notes: number) =>
      `Levels of ${counted(pads, 'pad')} over time, with ${counted(notes, 'note')} of A and B under them. The tables below say the same in words.`,
    keys: 'Keys in the picture: ← and → move the line (with Shift: scroll), ↑ and ↓ choose the row, + and − zoom, n and p go to the next and the previous difference, Enter says why.',
    touch:
      'Press on a place to learn why there was a note, or none. Pinch, or Ctrl with the wheel, zooms.',
    tools: 'What is shown',
    earlier: 'Earlier',
    later: 'Later',
    out: 'Zoom out',
    in: 'Zoom in',
    whole: 'Whole take',
    before: 'Previous difference',
    after: 'Next difference',
    shown: (from: string, to: string) => `${from} to ${to}`,
    overview: 'The whole take; the frame is what is shown',
    scroll: 'Where in the take',
    a: (rules: string) => `A ${rules}`,
    b: (rules: string) => `B ${rules}`,
    wanted: 'wanted',
    at: (time: string, row: string) => `${time}, ${row}`,
    level: (level: string) => `level ${level}`,
    nothing: 'no reading',
    noNote: 'no note',
    note: (pitch: string, from: string, long: string | null, velocity: number | null) =>
      [
        `${pitch} at ${from}`,
        ...(long === null ? [] : [`for ${long}`]),
        ...(velocity === null ? [] : [`velocity ${String(velocity)}`]),
      ].join(', '),
  },
  legend: {
    heading: 'What the picture shows',
    curves: 'Curves are levels, by A: 0 at rest, 1 at a full touch.',
    dashed: 'Dashed: where a touch begins at the least.',
    dashedTwo: 'Dashed: where a touch begins at the least by A; dotted: by B.',
    boxes: 'Boxes are notes, with pitch and velocity.',
    wanted: 'Dotted boxes were wanted.',
    differ: 'Thick boxes differ; hatched ones are on one side only, dashed ones are missing.',
    kinds: Object.fromEntries(
      Object.entries(KIND_WORDS).map(([kind, [, means]]) => [kind, means]),
    ) as Readonly<Record<keyof typeof KIND_WORDS, string>>,
  },

  differences: {
    heading: 'Differences',
    which: 'Show',
    whichOf: {
      all: 'all',
      another: 'missed, added, other pitch',
      time: 'earlier or later',
      loudness: 'louder or softer',
      length: 'longer or shorter',
    },
    none: 'None: both play the same.',
    noneOf: 'Nothing of this kind differs.',
    columns: {
      number: 'No.',
      time: 'Time',
      where: 'Where',
      a: 'A',
      b: 'B',
      what: 'In B',
      right: 'By what was wanted',
    },
    count: (count: number) => counted(count, 'difference'),
    go: (number: number, time: string) => `Difference ${String(number)}: go to ${time}`,
    told: (number: number, of: number, time: string, where: string, words: string) =>
      `Difference ${String(number)} of ${String(of)} at ${time}, on ${where}: ${words}`,
    changes: changesWords,
    verdict: verdictWords,
    more: (count: number) => `Show ${String(count)} more`,
  },
  rules: {
    heading: 'Rules that differ',
    none: 'None: the two rule sets say the same.',
    columns: { key: 'Rule', a: 'A', b: 'B', about: 'What it does' },
    idle: 'No part in this take: its instrument is of another kind.',
  },

  explain: {
    heading: 'Why was there a note, or none?',
    help: 'Choose a time and a pad here, or press on a place in the picture. The take is run again as often as it takes to name the rule that decided.',
    time: 'Time in seconds',
    pad: 'Pad',
    allPads: 'All pads',
    side: 'By the rules of',
    ask: 'Explain',
    badTime: (most: string) => `Write a time from 0 to ${most}.`,
    title: (time: string, pad: string | null, side: string) =>
      pad === null ? `At ${time}, by ${side}` : `At ${time}, ${pad}, by ${side}`,
    pads: 'What the pads did',
    noPads: 'No pad moved.',
    came: 'What came of it',
    sounding: 'Sounding all the time:',
    checked: 'What would have changed it',
    checkedHelp: 'Found by running the take again with one rule changed.',
    columns: { rule: 'With', words: 'it would have been' },
    limits: 'A pad is',
    /** For languages in which the explanation itself is not there. */
    english: '',
  },

  play: {
    heading: 'Listen',
    a: 'Play A',
    b: 'Play B',
    stop: 'Stop',
    from: (from: string, to: string) => `Plays ${from} to ${to}, on this device.`,
    caution: 'Turn the volume of this device down before you begin.',
    starting: 'Starting the sound',
    held: 'The browser holds the sound back: press Play once more.',
    hidden: 'Silent while the page is hidden.',
    playing: (side: string, time: string) => `${side} at ${time}`,
  },
};

/** All that people read on the page, in English: the language that every other one is a copy of. */
export const en = { shell, room, seat, take, sound, sounds, drums };

/** What a language must have. */
export type Texts = typeof en;

export type TakeFaults = typeof takeFaults;
