import { describe, expect, it } from 'vitest';
import { parseBuild } from '../../src/instrument/build.js';
import { FileFault, problemWhat, problemWhere } from '../../src/instrument/fault.js';
import { parseInstrument } from '../../src/instrument/instrument.js';
import { parseOscMessages } from '../../src/instrument/osc-messages.js';
import { parseRoom } from '../../src/instrument/room.js';
import { parseRules } from '../../src/instrument/rules.js';

/** What is said about a text: one or more problems, two lines each. */
function said(parse: (text: string, file: string) => unknown, file: string, text: string): string {
  try {
    parse(text, file);
  } catch (error) {
    if (error instanceof FileFault) return error.message;
    throw error;
  }
  return 'nothing';
}

type Case = [mistake: string, text: string, said: string];

const HEAD = 'name: Harp\nkind: strings\nsound: 34\nstrings:\n';
const INSTRUMENT: Case[] = [
  [
    'a misspelt key',
    `${HEAD}  - { opne: G2, frets: [0], pluck: 1 }\n`,
    `harp.yaml:5:7: strings[0].opne: found a key that is not known here, allowed: open, frets, pluck
    Did you mean "open"?`,
  ],
  [
    'a pitch without its octave',
    `${HEAD}  - { open: Bb, pluck: 0 }\n`,
    `harp.yaml:5:13: strings[0].open: found "Bb", allowed: a pitch name, such as G2, F#3 or Bb1
    Add the octave: Bb2, say; C4 is middle C`,
  ],
  [
    'a note number for a pitch',
    `${HEAD}  - open: 43\n    pluck: 0\n`,
    `harp.yaml:5:11: strings[0].open: found 43, allowed: a pitch name, such as G2, F#3 or Bb1
    Write the name instead of the number: 43 is G2`,
  ],
  [
    'H for B',
    `${HEAD}  - { open: H2, pluck: 0 }\n`,
    `harp.yaml:5:13: strings[0].open: found "H2", allowed: a pitch name, such as G2, F#3 or Bb1
    Write B2: the note called H in some countries is B here`,
  ],
  [
    'a pad listed twice',
    `${HEAD}  - { open: G2, frets: [0, 1, 1], pluck: 3 }\n`,
    `harp.yaml:5:31: strings[0].frets[2]: found pad 1, which is already a fret of string 1, allowed: each pad once
    Give one of the two another number; pad 2 is free`,
  ],
  [
    'pads counted from 1',
    `${HEAD}  - { open: G2, frets: [1, 2], pluck: 3 }\n`,
    `harp.yaml:5:39: strings[0].pluck: found pad 3, though there are only 3 pads, allowed: pads 0 to 2, without a hole
    Number the pads from 0 on without a hole; pad 0 is free`,
  ],
  [
    'a fret that is no list',
    `${HEAD}  - { open: G2, frets: 0, pluck: 1 }\n`,
    `harp.yaml:5:24: strings[0].frets: found 0, allowed: a list
    Put square brackets round it: [0]`,
  ],
  [
    'no pluck pad, and a sound in quotation marks',
    'name: Harp\nkind: strings\nsound: "34"\nstrings:\n  - { open: G2 }\n',
    `harp.yaml:3:8: sound: found "34", allowed: a whole number from 1 to 128
    Take the quotation marks away: 34
harp.yaml:5:5: strings[0].pluck: found nothing, allowed: a whole number from 0 to 4095
    Add "pluck:" and its value. The pad that sounds the string`,
  ],
  [
    'a sound counted from 0',
    'name: Harp\nkind: strings\nsound: 0\nstrings:\n  - { open: G2, pluck: 0 }\n',
    `harp.yaml:3:8: sound: found 0, allowed: a whole number from 1 to 128
    Change it to a whole number from 1 to 128. The General MIDI program, counted from 1`,
  ],
  [
    'a misspelt kind',
    'name: Harp\nkind: stings\nsound: 34\nstrings:\n  - { open: G2, pluck: 0 }\n',
    `harp.yaml:2:7: kind: found "stings", allowed: strings, keys, holes, hits
    Did you mean "strings"?`,
  ],
  [
    'a kind that there is not',
    'name: Harp\nkind: harp\n',
    `harp.yaml:2:7: kind: found "harp", allowed: strings, keys, holes, hits
    Write "kind: strings" for plucked strings, keys for touch keys, holes for a pipe or hits for drum pads`,
  ],
  [
    'no kind, and a list that shows which',
    'name: Harp\nsound: 34\nstrings:\n  - { open: G2, pluck: 0 }\n',
    `harp.yaml:1:1: kind: found nothing, allowed: strings, keys, holes, hits
    Write "kind: strings", as the list below is named`,
  ],
  [
    'no kind, and nothing that shows which',
    'name: Harp\nsound: 34\n',
    `harp.yaml:1:1: kind: found nothing, allowed: strings, keys, holes, hits
    Write "kind: strings" for plucked strings, keys for touch keys, holes for a pipe or hits for drum pads`,
  ],
  [
    'a misspelt key for the kind',
    'name: Harp\nkidn: strings\n',
    `harp.yaml:2:1: kidn: found a key that is not known here, allowed: name, kind, sound
    Did you mean "kind"?`,
  ],
  [
    'a list for a whole instrument',
    '- G2\n- D2\n',
    `harp.yaml:1:1: found a list of 2, allowed: the keys name, kind and sound, and those of its kind
    Write each key on a line of its own, as the examples in config/ do`,
  ],
  [
    'keys without their pads',
    'name: Row\nkind: keys\nsound: 1\nkeys: [C4, D4]\n',
    `harp.yaml:4:8: keys[0]: found "C4", allowed: the keys note, pad
    Write it as { note: C4, pad: 0 }, say
harp.yaml:4:12: keys[1]: found "D4", allowed: the keys note, pad
    Write it as { note: C4, pad: 0 }, say`,
  ],
  [
    'two keys on one pad',
    'name: Row\nkind: keys\nsound: 1\nkeys:\n  - { note: C4, pad: 0 }\n  - { note: D4, pad: 0 }\n',
    `harp.yaml:6:22: keys[1].pad: found pad 0, which is already key 1, allowed: each pad once
    Give one of the two another number; pad 1 is free`,
  ],
  [
    'strings of keys',
    'name: Row\nkind: keys\nsound: 1\nstrings:\n  - { open: G2, pluck: 0 }\n',
    `harp.yaml:1:1: keys: found nothing, allowed: a list of at least one
    Add "keys:" and its value. The keys from the left; pads are numbered from 0
harp.yaml:4:1: strings: found a key that is not known here, allowed: name, kind, sound, keys
    Take it away, or write one of the allowed keys instead`,
  ],
  [
    'a letter too few in a chart, and a row that an earlier one hides',
    'name: Pipe\nkind: holes\nsound: 75\nholes: [0, 1]\nmouth: 2\nfingerings:\n  - { note: C5, holes: x }\n  - { note: D5, holes: x. }\n  - { note: E5, holes: xo }\n',
    `harp.yaml:7:24: fingerings[0].holes: found one letter, allowed: 2 letters, one for each of the holes
    Write x for each closed hole, o for each open one, and . where it makes no difference
harp.yaml:9:24: fingerings[2].holes: found a fingering for E5 that an earlier row, for D5, takes already, allowed: each fingering once; the first row that fits counts
    Change one of the two rows, or put the one with fewer dots first`,
  ],
  [
    'signs of one’s own in a chart',
    'name: Pipe\nkind: holes\nsound: 75\nholes: [0, 1]\nmouth: 2\nfingerings:\n  - { note: C5, holes: "#-" }\n',
    `harp.yaml:7:24: fingerings[0].holes: found "#-", allowed: one letter a hole: x is closed, o is open, . is either
    Change it to one letter a hole: x is closed, o is open, . is either. One letter a hole, in the order of \`holes\`: x closed, o open, . either`,
  ],
  [
    'a pipe without a mouth that sounds with no finger on it',
    'name: Pipe\nkind: holes\nsound: 75\nholes: [0, 1]\nfingerings:\n  - { note: C5, holes: oo }\n',
    `harp.yaml:6:24: fingerings[0].holes: found "oo" for C5, all open, allowed: at least one closed hole, since the first finger sounds the pipe
    Close a hole in this row, or give the pipe a mouth pad`,
  ],
  [
    'a drum by its name',
    'name: Set\nkind: hits\nhits:\n  - { drum: snare, pad: 0 }\n',
    `harp.yaml:4:13: hits[0].drum: found "snare", allowed: a whole number from 35 to 81
    Change it to a whole number from 35 to 81. The percussion sound, by its General MIDI key number`,
  ],
  [
    'one string without its dash',
    `${HEAD}  open: G2\n  pluck: 0\n`,
    `harp.yaml:5:3: strings: found the keys open, pluck, allowed: a list of at least one
    Start each entry of the list with "- "`,
  ],
  [
    'a fret too many for MIDI',
    `${HEAD}  - { open: F#9, frets: [0, 1], pluck: 2 }\n`,
    `harp.yaml:5:13: strings[0].open: found "F#9" with 2 frets, allowed: pitches up to G9 at the last fret
    Tune the string lower, or take frets away`,
  ],
  [
    'no space after the colon',
    'name:Harp\nkind: strings\n',
    `harp.yaml:1:1: found a line without a key, allowed: "key: value", with a space after the colon
    Put a space after the colon of this line`,
  ],
  [
    'a tab',
    'name: Harp\n\tkind: strings\n',
    `harp.yaml:2:1: found a tab at the start of the line, allowed: spaces
    Replace the tab by two spaces a level`,
  ],
  [
    'a key written twice',
    'name: Harp\nkind: strings\nname: Lyre\n',
    `harp.yaml:3:1: found a key that was already given, allowed: each key once
    Take one of the two lines away`,
  ],
  [
    'a bracket that is not closed',
    `${HEAD}  - open: G2\n    frets: [0, 1\n    pluck: 2\n`,
    `harp.yaml:6:12: found a "[" that is never closed, allowed: a closing bracket for each opening one
    Put the missing "]" in, at the end of line 6 or where it belongs`,
  ],
  [
    'an empty file',
    '# later\n',
    `harp.yaml:1:1: found nothing but comments, allowed: at least one key
    If a save went wrong, undo it in your editor and save again, or take a copy of the file; if nothing is to be in it, write {}`,
  ],
  [
    'references that run away',
    'a: &a [1]\nb: &b [*a, *a, *a, *a, *a, *a, *a, *a, *a, *a, *a]\nc: [*b, *b, *b, *b, *b, *b, *b, *b, *b, *b]\n',
    `harp.yaml:2:8: found a reference (*) that leads nowhere, to itself, or to far too much, allowed: a * only for a part marked with & further up, and sparingly
    Write the values out instead of referring to them, or put a text that starts with * in quotation marks`,
  ],
];

const RULES: Case[] = [
  [
    'a second description in one file, of which nothing would be read',
    'touch:\n  lift: 12ms\n---\ntouch:\n  lift: 30ms\n',
    `calm.yaml:3:1: found a line "---" with more below it, allowed: one description a file
    Move what stands below the line to a file of its own`,
  ],
  [
    'a time without its unit',
    'touch:\n  lift: 12\n',
    `calm.yaml:2:9: touch.lift: found 12, allowed: a duration with its unit, such as 4ms or 2s
    Add the unit: 12ms for milliseconds, 12s for seconds`,
  ],
  [
    'a time with its unit written out',
    'touch: { lift: 12 milliseconds }\n',
    `calm.yaml:1:16: touch.lift: found "12 milliseconds", allowed: a duration with its unit, such as 4ms or 2s
    Write 12ms`,
  ],
  [
    'a wait far too long',
    'strength: { within: 6s }\n',
    `calm.yaml:1:21: strength.within: found "6s", allowed: a duration from 0us to 100ms
    Change it to a duration from 0us to 100ms. The longest wait for those readings`,
  ],
  [
    'a decimal comma',
    'touch:\n  on: 0,6\n',
    `calm.yaml:2:7: touch.on: found "0,6", allowed: a number from 0.01 to 1
    Write a point, not a comma: 0.6`,
  ],
  [
    'a key outside its group',
    'on: 0.6\n',
    `calm.yaml:1:1: on: found a key that is not known here, allowed: name, logic, touch, strength, velocity, strings, keys, holes, hits, voices
    Move it under "touch:"`,
  ],
  [
    'yes and no, a misspelt word, another spelling of a key',
    'strings:\n  hammerOn: true\n  pull-off: yes\n  stop: higest\n  damp-by-hold: no\n',
    `calm.yaml:2:3: strings.hammerOn: found a key that is not known here, allowed: stop, hammer-on, pull-off, slide, slide-overlap, slide-gap, pluck-after, wait-for-pluck, ring, damp-by-fret, damp-by-hold, late-fret, wait-for-fret, early-lift, resting-thumb, brush, brush-share
    Did you mean "hammer-on"?
calm.yaml:3:13: strings.pull-off: found "yes", allowed: true or false
    Write true
calm.yaml:4:9: strings.stop: found "higest", allowed: highest, lowest, latest
    Did you mean "highest"?
calm.yaml:5:17: strings.damp-by-hold: found "no", allowed: "never", or a duration with its unit, such as 400ms or 2s
    Write never`,
  ],
  [
    'an end above the beginning, against the default',
    'touch: { off: 0.6 }\n',
    `calm.yaml:1:15: touch.off: found 0.6, allowed: a level below touch.on, which is 0.2
    Lower off, to about 0.12, or raise on`,
  ],
  [
    'soft and hard exchanged',
    'velocity: { softest: 110, hardest: 30 }\n',
    `calm.yaml:1:22: velocity.softest: found 110, allowed: a velocity up to velocity.hardest, which is 30
    Exchange the two numbers, or make them equal for notes that are all as loud`,
  ],
  [
    'readings to wait for, and no time to wait',
    'strength: { within: 0ms }\n',
    `calm.yaml:1:21: strength.within: found 0us, allowed: 1ms or more, as strength.readings asks to wait for readings
    Set readings to 0 for no waiting at all, or within to 24ms`,
  ],
  [
    'a misspelt curve',
    'velocity: { curve: squared }\n',
    `calm.yaml:1:20: velocity.curve: found "squared", allowed: square
    Did you mean "square"?`,
  ],
  [
    'a curve too steep',
    'velocity: { curve: 30 }\n',
    `calm.yaml:1:20: velocity.curve: found 30, allowed: a number from 0.1 to 10
    Change it to a number from 0.1 to 10. How velocity grows with strength: a power (above 1 late, below 1 early), \`square\`, or a table`,
  ],
  [
    'a curve with a decimal comma',
    'velocity:\n  curve: 0,5\n',
    `calm.yaml:2:10: velocity.curve: found "0,5", allowed: a number from 0.1 to 10
    Write a point, not a comma: 0.5`,
  ],
  [
    'a curve in quotation marks',
    'velocity: { curve: "2" }\n',
    `calm.yaml:1:20: velocity.curve: found "2", allowed: a number from 0.1 to 10
    Take the quotation marks away: 2`,
  ],
  [
    'a table that falls',
    'velocity:\n  curve:\n    - [0, 20]\n    - [0.5, 90]\n    - [1, 70]\n',
    `calm.yaml:5:11: velocity.curve[2][1]: found velocity 70 after velocity 90, allowed: velocities that do not fall, so that a harder touch is never softer
    Raise it to 90 or more, or lower the one before it`,
  ],
  [
    'strengths out of order, and one twice',
    'velocity:\n  curve:\n    - [0.5, 20]\n    - [0.2, 90]\n    - [0.2, 100]\n',
    `calm.yaml:4:8: velocity.curve[1][0]: found strength 0.2 after strength 0.5, allowed: strengths that rise from pair to pair
    Put the pairs in the order of their strengths, the smallest first
calm.yaml:5:8: velocity.curve[2][0]: found strength 0.2 after strength 0.2, allowed: strengths that rise from pair to pair
    Take one of the two pairs away, or give it another strength`,
  ],
  [
    'strengths in percent, and velocities that MIDI has not',
    'velocity:\n  curve: [[0, 0], [50, 64.5], [1, 128], [-1, 1]]\n',
    `calm.yaml:2:15: velocity.curve[0][1]: found velocity 0, allowed: a whole number from 1 to 127
    Change it to 1
calm.yaml:2:20: velocity.curve[1][0]: found strength 50, allowed: a strength from 0 to 1
    Write 50 % as 0.5
calm.yaml:2:24: velocity.curve[1][1]: found velocity 64.5, allowed: a whole number from 1 to 127
    Change it to 65
calm.yaml:2:35: velocity.curve[2][1]: found velocity 128, allowed: a whole number from 1 to 127
    Change it to 127
calm.yaml:2:42: velocity.curve[3][0]: found strength -1, allowed: a strength from 0 to 1
    Change it to a number from 0, the softest touch, to 1, the hardest`,
  ],
  [
    'pairs without brackets of their own',
    'velocity: { curve: [0, 20, 1, 127] }\n',
    `calm.yaml:1:20: velocity.curve: found a list of numbers, allowed: a list of two or more pairs of strength and velocity, such as [[0, 20], [1, 127]]
    Put brackets of their own round each strength and its velocity`,
  ],
  [
    'a pair of three, and a word for a number',
    'velocity:\n  curve:\n    - [0, 20, 30]\n    - [1, loud]\n',
    `calm.yaml:3:7: velocity.curve[0]: found a list of 3, allowed: a strength and its velocity, such as [0.5, 80]
    Change it to a strength and its velocity, such as [0.5, 80]
calm.yaml:4:11: velocity.curve[1][1]: found "loud", allowed: a number
    Change it to a number`,
  ],
  [
    'a table of one pair',
    'velocity:\n  curve:\n    - [0, 20]\n',
    `calm.yaml:3:5: velocity.curve: found a list of 1, allowed: a list of two or more pairs of strength and velocity, such as [[0, 20], [1, 127]]
    Change it to a list of two or more pairs of strength and velocity, such as [[0, 20], [1, 127]]. How velocity grows with strength: a power (above 1 late, below 1 early), \`square\`, or a table`,
  ],
  [
    'a table of keys',
    'velocity:\n  curve:\n    0: 20\n    1: 127\n',
    `calm.yaml:3:5: velocity.curve: found the keys 0, 1, allowed: a number from 0.1 to 10, or square, or a list of two or more pairs of strength and velocity, such as [[0, 20], [1, 127]]
    Change it to a number from 0.1 to 10, or square, or a list of two or more pairs of strength and velocity, such as [[0, 20], [1, 127]]. How velocity grows with strength: a power (above 1 late, below 1 early), \`square\`, or a table`,
  ],
  [
    'a late fret that never was, in other words',
    'strings: { late-fret: no, wait-for-fret: allways }\n',
    `calm.yaml:1:23: strings.late-fret: found "no", allowed: "never", or a duration with its unit, such as 400ms or 2s
    Write never
calm.yaml:1:42: strings.wait-for-fret: found "allways", allowed: never, often, always
    Did you mean "always"?`,
  ],
  [
    'a group with nothing in it',
    'touch:\nvoices: { most: 2 }\n',
    `calm.yaml:1:1: touch: found nothing, allowed: the keys on, off, lift
    Write "touch: {}"`,
  ],
];

const SEAT = 'seats:\n  - name: north\n    instrument: bass-4x4\n';
const DEMO = `${SEAT}    from: { player: demo }\n`;
const ROOM: Case[] = [
  [
    'more seats than share a speaker',
    `seats:\n${Array.from({ length: 65 }, (_, i) => `  - { name: s${String(i)}, instrument: a, from: { player: demo } }\n`).join('')}`,
    `room.yaml:2:3: seats: found a list of 65, allowed: a list of 1 to 64
    Change it to a list of 1 to 64. The units that play, one player each`,
  ],
  [
    'no source',
    SEAT,
    `room.yaml:2:5: seats[0].from: found nothing, allowed: one of the keys midi, virtual, osc, take, player
    Add "from:" and its value. Where the readings come from`,
  ],
  [
    'two sources',
    `${SEAT}    from: { osc: 9000, midi: pads }\n`,
    `room.yaml:4:11: seats[0].from: found the keys osc and midi together, allowed: one of the keys midi, virtual, osc, take, player
    Keep one of osc and midi, and take the other away`,
  ],
  [
    'a misspelt source',
    `${SEAT}    from: { ocs: 9000 }\n`,
    `room.yaml:4:13: seats[0].from.ocs: found a key that is not known here, allowed: midi, virtual, osc, take, player
    Did you mean "osc"?`,
  ],
  [
    'a port that cannot be',
    `${SEAT}    from: { osc: 90000 }\n`,
    `room.yaml:4:18: seats[0].from.osc: found 90000, allowed: a whole number from 1 to 65535
    Change it to a whole number from 1 to 65535. The UDP port that listens for OSC; seats may share one`,
  ],
  [
    'a misspelt way in MIDI, and none',
    `${SEAT}    from: { midi: pads, as: presure }\n  - { name: south, instrument: x, from: { midi: b } }\n`,
    `room.yaml:4:29: seats[0].from.as: found "presure", allowed: notes, pressure, control, control-14, frames
    Did you mean "pressure"?
room.yaml:5:41: seats[1].from.as: found nothing, allowed: notes, pressure, control, control-14, frames
    Add "as:" and its value. How raw pad states travel in MIDI messages`,
  ],
  [
    'a level in percent',
    `${DEMO}    level: 80\n`,
    `room.yaml:5:12: seats[0].level: found 80, allowed: a number from 0 to 1
    Write 80 % as 0.8`,
  ],
  [
    'two seats of one name',
    `${DEMO}  - { name: north, instrument: bass-4x4, from: { player: demo } }\n`,
    `room.yaml:5:13: seats[1].name: found "north", the name of seat 1 too, allowed: a name of its own for each seat
    Rename one of the two seats`,
  ],
  [
    'a number for a name, and the player alone',
    'seats:\n  - name: 3\n    instrument: bass-4x4\n    from: demo\n',
    `room.yaml:2:11: seats[0].name: found 3, allowed: a text
    Put it in quotation marks: "3"
room.yaml:4:11: seats[0].from: found "demo", allowed: one of the keys midi, virtual, osc, take, player
    Write it as { player: demo }, say`,
  ],
  [
    'mixed wires of a player who has none',
    `${SEAT}    from: { player: demo, wires: mixed }\n`,
    `room.yaml:4:34: seats[0].from.wires: found "mixed", allowed: this only with "player: screen"
    Write "player: screen", or take it away`,
  ],
  [
    'an engine without its braces, and with a port in its address',
    `${DEMO}to:\n  - builtin\n  - osc: { host: 127.0.0.1:9100, port: 9100, ahead: 5 }\n`,
    `room.yaml:6:5: to[0]: found "builtin", allowed: one of the keys builtin, midi, osc
    Write "builtin: {}"
room.yaml:7:18: to[1].osc.host: found "127.0.0.1:9100", allowed: an address without its port, such as 127.0.0.1
    Change it to an address without its port, such as 127.0.0.1. The address of the receiver
room.yaml:7:53: to[1].osc.ahead: found 5, allowed: "never", or a duration with its unit, such as 400ms or 2s
    Add the unit: 5ms for milliseconds, 5s for seconds`,
  ],
  [
    'a MIDI port both ours and not',
    `${DEMO}to:\n  - midi: { virtual: a, port: b }\n  - midi: synth\n`,
    `room.yaml:6:11: to[0].midi: found the keys virtual and port together, allowed: one of the keys port, virtual
    Keep one of virtual and port, and take the other away
room.yaml:7:11: to[1].midi: found "synth", allowed: one of the keys port, virtual
    Write it as { virtual: pluckwork }, say`,
  ],
];

const BUILD: Case[] = [
  [
    'a pad on two inputs',
    '{\n  "wiring": [0, 0],\n  "pads": [null]\n}\n',
    `north.json:2:17: wiring[1]: found pad 0 on input 1 and on input 0, allowed: each pad on one input
    Follow the two wires, and write null for the input that has no pad`,
  ],
  [
    'a pad that is not there, one that does not react, and one coupled to itself',
    '{\n  "wiring": [2],\n  "pads": [null, {"rest": 1, "span": 0, "noise": 1, "coupling": [{"from": 1, "share": 0.1}]}]\n}\n',
    `north.json:2:14: wiring[0]: found pad 2, allowed: pads 0 to 1
    Calibrate the unit again, or fix the number
north.json:3:38: pads[1].span: found 0, allowed: a change above or below 0
    Calibrate the unit again and touch this pad well; if it stays 0, look at its wire
north.json:3:75: pads[1].coupling[0].from: found pad 1 itself, allowed: another pad
    Take this coupling away`,
  ],
  [
    'a comma left out',
    '{"wiring": [0 1], "pads": []}',
    `north.json:1:13: wiring[0]: found "0 1", allowed: a whole number from 0 to 4095, or null
    Put a comma between the numbers`,
  ],
  [
    'a file that was cut off',
    '{"wiring": [0], "pads": [null]',
    `north.json:1:1: found a "{" that is never closed, allowed: a closing bracket for each opening one
    Put the missing "}" in, at the end of line 1 or where it belongs`,
  ],
];

const ENGINE: Case[] = [
  [
    'an address without its slash, and nothing for silence',
    'on: note/on voice:i\noff: /note/off voice:i\n',
    `synth.yaml:1:1: silence: found nothing, allowed: an OSC address that starts with "/", then its arguments
    Add "silence:" and its value. What is sent when everything ends at once
synth.yaml:1:5: on: found "note/on voice:i", allowed: an OSC address that starts with "/", then its arguments
    Change it to an OSC address that starts with "/", then its arguments. What is sent when a note begins`,
  ],
];

describe.each([
  ['an instrument', parseInstrument, 'harp.yaml', INSTRUMENT],
  ['rules', parseRules, 'calm.yaml', RULES],
  ['a room', parseRoom, 'room.yaml', ROOM],
  ['a build', parseBuild, 'north.json', BUILD],
  ['engine messages', parseOscMessages, 'synth.yaml', ENGINE],
] as const)('in %s', (_what, parse, file, cases) => {
  it.each(cases)('%s', (_mistake, text, expected) => {
    expect(said(parse, file, text)).toBe(expected);
  });
});

describe('a problem', () => {
  it('also comes in parts, for a page to show', () => {
    try {
      parseRules('touch:\n  lift: 12\n', 'calm.yaml');
      expect.unreachable();
    } catch (error) {
      const [problem] = (error as FileFault).problems;
      expect(problem).toEqual({
        file: 'calm.yaml',
        at: { line: 2, column: 9 },
        key: 'touch.lift',
        found: '12',
        allowed: 'a duration with its unit, such as 4ms or 2s',
        fix: 'Add the unit: 12ms for milliseconds, 12s for seconds',
      });
      expect(problemWhere(problem!)).toBe('calm.yaml:2:9');
      expect(problemWhat({ ...problem!, key: '', at: null })).toBe(
        'found 12, allowed: a duration with its unit, such as 4ms or 2s',
      );
    }
  });

  it('is no problem where it is right after all', () => {
    expect(said(parseInstrument, 'a', `${HEAD}  - { open: G2, pluck: 0 }\n`)).toBe('nothing');
    // Two seats may share an OSC port (the message names the seat), and a take.
    const seats = ['osc: 9000', 'osc: 9000', 'take: a.jsonl', 'take: a.jsonl'].map(
      (from, i) => `  - { name: s${String(i)}, instrument: x, from: { ${from} } }\n`,
    );
    expect(said(parseRoom, 'a', `seats:\n${seats.join('')}`)).toBe('nothing');
    expect(said(parseRules, 'a', '{}')).toBe('nothing');
    // `on`, `off` and `no` are words, even where a file asks for an older YAML.
    expect(said(parseRules, 'a', '%YAML 1.1\n---\ntouch: { on: 0.6, off: 0.5 }\n')).toBe('nothing');
  });
});
