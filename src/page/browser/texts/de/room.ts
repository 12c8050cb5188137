import type { Texts } from '../en.js';

export const room: Texts['room'] = {
  seats: (count) => (count === 1 ? 'Ein Platz' : `${String(count)} Plätze`),
  plugged: {
    waiting: 'Noch nichts gehört',
    here: 'Eingesteckt',
    lost: 'Abgezogen',
  },
  from: 'Von',
  openSeat: (name) => `${name} genau ansehen`,
  plug: 'Einstecken',
  unplug: 'Abziehen',

  sounding: 'Es klingt',
  nothingSounds: 'nichts',
  mutedWord: 'stumm',
  othersSolo: 'still: ein anderer Platz spielt solo',

  level: 'Lautstärke',
  percent: (share) => `${String(Math.round(share * 100))} %`,
  mute: 'Stumm',
  solo: 'Solo',
  lead: 'Führt',
  muteHelp: 'Dieser Platz ist still.',
  soloHelp: 'Nur Plätze, die solo sind, sind zu hören.',
  leadHelp: 'Solange dieser Platz klingt, werden die anderen leiser.',
  pan: 'Links und rechts',
  panWords: (pan) => {
    const share = `${String(Math.round(Math.abs(pan) * 100))} %`;
    return Math.abs(pan) < 0.005 ? 'Mitte' : `${share} ${pan < 0 ? 'links' : 'rechts'}`;
  },
  sound: 'Klang',
  kit: 'Schlagzeug',
  rules: 'Regeln',
  rulesTried: 'ausprobiert, nicht behalten',
  more: 'Klang und Regeln',
  ofSeat: (what, seat) => `${what}, ${seat}`,
  refused: 'Nicht getan',

  together: 'Alle zusammen',
  shares: 'Welche Töne, und wie viele zugleich',
  loudnessMeans: 'Was LUFS bedeutet',
  noLoudness: 'Sie sagt nicht, wie laut sie ist.',
  silentNow: 'still',
  lufs: (value) => `${value.toFixed(1).replace('.', ',').replace('-', '−')} LUFS`,
  momentary: 'jetzt (0,4 s)',
  shortTerm: 'letzte 3 s',
  ceilingAt: (lufs) => `Grenze: ${lufs}.`,
  noCeiling: 'Sie hat keine Grenze.',
  loudnessWords: {
    silent: 'Es klingt nichts.',
    below: 'Deutlich unter der Grenze.',
    near: 'Nahe an der Grenze.',
    held: (dB) =>
      `Um ${dB.toFixed(1).replace('.', ',')} dB zurückgehalten, damit es nicht lauter als die Grenze wird.`,
  },
  loudnessHelp:
    'LUFS sagt, wie laut der Klang pluckwork verlässt; 10 mehr klingt etwa doppelt so laut. Wie laut es im Raum ist, bestimmt der Lautsprecher: Beginnen Sie leise.',
  engineOn: 'An',
  engineOf: (name) => `${name}: an`,
  engineOff: 'Abgeschaltet: still.',

  scale: 'Töne, die gespielt werden',
  scaleHelp: 'Andere Töne gehen zum nächsten von diesen.',
  allNotes: 'Jeder Ton',
  otherNotes: 'Einzeln gewählt',
  key: 'Grundton',
  noteNames: ['C', 'C♯', 'D', 'E♭', 'E', 'F', 'F♯', 'G', 'A♭', 'A', 'B♭', 'B'],
  scaleNames: {
    major: 'Dur',
    minor: 'Moll',
    majorPentatonic: 'Dur-Pentatonik',
    minorPentatonic: 'Moll-Pentatonik',
    blues: 'Blues',
    dorian: 'dorisch',
    mixolydian: 'mixolydisch',
    harmonicMinor: 'harmonisches Moll',
    wholeTone: 'Ganztonleiter',
  },
  inScale: (note) => `${note} wird gespielt`,
  duck: 'Andere, wenn einer führt',
  duckWords: (dB) => (dB === 0 ? 'nicht leiser' : `${String(dB)} dB leiser`),
  voices: 'Töne zugleich',
  voicesWords: (count) => (count === 1 ? 'einer' : String(count)),

  drawing: (name, pads) => `${name}: eine Zeichnung der ${String(pads)} Tastflächen`,
  playHere: (name) => `${name} hier spielen`,
  playHelp:
    'Berühren Sie die Flächen mit Fingern oder der Maus: je näher an der Mitte einer Fläche, desto stärker. Mit der Tastatur: Pfeiltasten gehen von Fläche zu Fläche, die Leertaste hält eine gedrückt (mit Umschalt: mit voller Stärke), Enter hält sie fest, bis wieder Enter gedrückt wird, Escape lässt alles los und macht den Raum still.',
  held: 'festgehalten',
  pad: {
    fret: (open, fret) => `${open}, Bund ${String(fret)}`,
    pluck: (open) => `${open} zupfen`,
    hole: (hole) => `Loch ${String(hole)}`,
    mouth: 'Mundstück',
  },
  strengthWords: (share) => `Stärke ${String(Math.round(share * 100))} %`,
};
