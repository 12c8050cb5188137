import type { Instrument } from '../../../../instrument/types.js';
import type { Compared } from '../../../../takes/compare.js';
import type { Verdict } from '../../../../takes/compare-judge.js';
import {
  changesWords,
  headline,
  KIND_WORDS,
  share,
  spanWords,
  verdictWords,
} from '../../../../takes/compare-words.js';
import { takeFaults } from './take-faults.js';

const counted = (count: number, noun: string): string =>
  `${String(count)} ${noun}${count === 1 ? '' : 's'}`;

/** The take view: what two rule sets make of a take, and why. */
export const take = {
  ...takeFaults,
  list: {
    heading: 'Takes',
    help: 'A take holds what the pads read. Open one to see and hear what other rules would have made of it.',
    none: 'No take was recorded yet. Record one on a seat, or open one from this device.',
    waiting: 'The list comes once the room is connected.',
    open: (name: string) => `Look at ${name}`,
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
  percent: (part: number) => `${String(Math.round(part * 100))} %`,

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
    whyHere: 'Why here?',
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
    changes: (one: Compared, instrument: Instrument) => changesWords(one, instrument),
    verdict: (verdict: Verdict) => verdictWords(verdict),
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
    close: 'Close',
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
    ended: 'Ended.',
  },
};
