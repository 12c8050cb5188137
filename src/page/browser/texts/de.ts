import { pitchName } from '../../../instrument/pitch.js';
import type { Instrument } from '../../../instrument/types.js';
import { isAnotherNote, type ChangeKind, type Compared } from '../../../compare/compare.js';
import type { Verdict } from '../../../compare/judge.js';
import * as english from '../../../compare/words.js';
import type { TakeFaults, Texts } from './en.js';
import { ruleWords } from './rule-words.js';

/** Ab Taste 35, in der Reihenfolge von General MIDI (aus dem Gedächtnis). */
const NAMES = [
  'tiefe Basstrommel',
  'Basstrommel',
  'Randschlag',
  'kleine Trommel',
  'Händeklatschen',
  'straffe kleine Trommel',
  'tiefe Standtom',
  'geschlossene Hi-Hat',
  'hohe Standtom',
  'getretene Hi-Hat',
  'tiefe Tom',
  'offene Hi-Hat',
  'tiefe Mitteltom',
  'hohe Mitteltom',
  'Crash-Becken',
  'hohe Tom',
  'Ride-Becken',
  'China-Becken',
  'Kuppe des Ride-Beckens',
  'Tamburin',
  'Splash-Becken',
  'Kuhglocke',
  'zweites Crash-Becken',
  'Rassel',
  'zweites Ride-Becken',
  'hohe Bongo',
  'tiefe Bongo',
  'gedämpfte hohe Conga',
  'offene hohe Conga',
  'tiefe Conga',
  'hohe Timbale',
  'tiefe Timbale',
  'hohes Agogo',
  'tiefes Agogo',
  'Cabasa',
  'Maracas',
  'kurze Pfeife',
  'lange Pfeife',
  'kurzer Guiro',
  'langer Guiro',
  'Claves',
  'hoher Holzblock',
  'tiefer Holzblock',
  'gedämpfte Cuica',
  'offene Cuica',
  'gedämpfte Triangel',
  'offene Triangel',
];

const drums: Texts['drums'] = (key) => NAMES[key - 35] ?? `Trommel ${String(key)}`;

const sounds: Texts['sounds'] = {
  groups: [
    [
      'Klaviere',
      [
        'Flügel',
        'helles Klavier',
        'elektrischer Flügel',
        'Honky-Tonk-Klavier',
        'E-Piano, weich',
        'E-Piano, glockig',
        'Cembalo',
        'Clavinet',
      ],
    ],
    [
      'Glocken und Stäbe',
      [
        'Celesta',
        'Glockenspiel',
        'Spieldose',
        'Vibraphon',
        'Marimba',
        'Xylophon',
        'Röhrenglocken',
        'Hackbrett',
      ],
    ],
    [
      'Orgeln',
      [
        'Zugriegelorgel',
        'perkussive Orgel',
        'Rockorgel',
        'Kirchenorgel',
        'Harmonium',
        'Akkordeon',
        'Mundharmonika',
        'Bandoneon',
      ],
    ],
    [
      'Gitarren',
      [
        'Gitarre, Nylonsaiten',
        'Gitarre, Stahlsaiten',
        'E-Gitarre, Jazz',
        'E-Gitarre, klar',
        'E-Gitarre, gedämpft',
        'E-Gitarre, übersteuert',
        'E-Gitarre, verzerrt',
        'Gitarren-Flageolett',
      ],
    ],
    [
      'Bässe',
      [
        'akustischer Bass',
        'E-Bass, Finger',
        'E-Bass, Plektrum',
        'bundloser Bass',
        'Slap-Bass 1',
        'Slap-Bass 2',
        'Synth-Bass 1',
        'Synth-Bass 2',
      ],
    ],
    [
      'Streicher und Harfe',
      [
        'Violine',
        'Bratsche',
        'Cello',
        'Kontrabass',
        'Streicher, Tremolo',
        'Streicher, gezupft',
        'Harfe',
        'Pauken',
      ],
    ],
    [
      'Ensembles',
      [
        'Streicherensemble',
        'langsame Streicher',
        'Synth-Streicher 1',
        'Synth-Streicher 2',
        'Chor, aah',
        'Chor, uuh',
        'Synth-Stimme',
        'Orchesterschlag',
      ],
    ],
    [
      'Blech',
      [
        'Trompete',
        'Posaune',
        'Tuba',
        'gedämpfte Trompete',
        'Horn',
        'Bläsersatz',
        'Synth-Blech 1',
        'Synth-Blech 2',
      ],
    ],
    [
      'Rohrblätter',
      [
        'Sopransaxophon',
        'Altsaxophon',
        'Tenorsaxophon',
        'Baritonsaxophon',
        'Oboe',
        'Englischhorn',
        'Fagott',
        'Klarinette',
      ],
    ],
    [
      'Flöten',
      [
        'Piccolo',
        'Querflöte',
        'Blockflöte',
        'Panflöte',
        'angeblasene Flasche',
        'Shakuhachi',
        'Pfeifen',
        'Okarina',
      ],
    ],
    [
      'Synth-Solo',
      [
        'Solo: Rechteck',
        'Solo: Sägezahn',
        'Solo: Kalliope',
        'Solo: Chiff',
        'Solo: Charang',
        'Solo: Stimme',
        'Solo: Quinten',
        'Solo: Bass',
      ],
    ],
    [
      'Synth-Flächen',
      [
        'Fläche: New Age',
        'Fläche: warm',
        'Fläche: Polysynth',
        'Fläche: Chor',
        'Fläche: gestrichen',
        'Fläche: metallisch',
        'Fläche: Halo',
        'Fläche: Sweep',
      ],
    ],
    [
      'Synth-Effekte',
      [
        'Effekt: Regen',
        'Effekt: Filmmusik',
        'Effekt: Kristall',
        'Effekt: Atmosphäre',
        'Effekt: Helligkeit',
        'Effekt: Kobolde',
        'Effekt: Echos',
        'Effekt: Science-Fiction',
      ],
    ],
    [
      'Aus vielen Ländern',
      ['Sitar', 'Banjo', 'Shamisen', 'Koto', 'Kalimba', 'Dudelsack', 'Fiedel', 'Shanai'],
    ],
    [
      'Geschlagen',
      [
        'Glöckchen',
        'Agogo',
        'Steel Drums',
        'Holzblock',
        'Taiko',
        'Melodie-Tom',
        'Synth-Trommel',
        'Becken rückwärts',
      ],
    ],
    [
      'Geräusche',
      [
        'Bundgeräusch',
        'Atemgeräusch',
        'Meeresrauschen',
        'Vogel',
        'Telefon',
        'Hubschrauber',
        'Applaus',
        'Schuss',
      ],
    ],
  ],
  kits: {
    1: 'Standard',
    9: 'Raum',
    17: 'kräftig',
    25: 'elektronisch',
    26: 'analog',
    33: 'Jazz',
    41: 'Besen',
    49: 'Orchester',
  },
};

const shell: Texts['shell'] = {
  title: 'pluckwork',
  skip: 'Zum Inhalt',
  views: 'Ansichten',
  roomView: 'Raum',
  takesView: 'Aufnahmen',
  settings: 'Sprache und Helligkeit',
  language: 'Sprache',
  scheme: 'Helligkeit',
  schemes: { auto: 'Wie das Gerät', light: 'Hell', dark: 'Dunkel' },
  close: 'Schließen',

  link: {
    connecting: 'Verbindung wird aufgebaut',
    open: 'Verbunden',
    lost: 'Verbindung verloren: es wird von selbst wieder versucht',
    refused: 'Abgewiesen',
  },
  over: 'Zu Ende',
  lostHelp:
    'Zu sehen ist, wie es zuletzt war. Gespielt wird auch ohne diese Seite. Bleibt das so, sieh nach, ob pluckwork noch läuft und ob dieses Gerät im selben Netz ist.',
  refusedHelp:
    'Dieser Link öffnet die Seite nicht: Sein Schlüssel fehlt oder gilt nicht mehr. Lass dir den Link geben, den pluckwork beim Start ausgegeben hat, und öffne den.',
  ended:
    'Der Raum ist zu Ende: Es kommt nichts mehr. Starte ihn wieder, dann folgt diese Seite von selbst.',
  guest: 'Du siehst zu: Alles wird gezeigt, und mit diesem Link lässt sich nichts ändern.',
  waiting: 'Es wird auf den Raum gewartet …',
  notAsked:
    'Nicht getan: Gerade besteht keine Verbindung zu pluckwork. Versuche es noch einmal, sobald sie wieder da ist.',

  silence: 'Stille',
  silenceHelp: 'Beendet alles, was klingt, in jeder Klangquelle. Taste: Escape.',
  silenced: 'Still: Alles, was klang, ist beendet.',
  silencedHere:
    'Auf diesem Gerät ist Ruhe. Als Gast kann man den Raum nicht zum Schweigen bringen.',
  notSilenced: (why) => `Nicht still: ${why} Ist es zu laut, drehe den Lautsprecher selbst leiser.`,

  notices: 'Was geschehen ist',
  noNotices: 'Noch nichts.',
  noticeLevel: { info: 'Zur Kenntnis', warn: 'Bitte ansehen', error: 'Muss behoben werden' },
  noticeWhere: 'Wo',
  noticeNext: 'Was zu tun ist',
  toLookAt: (count) =>
    count === 1 ? 'Etwas ist anzusehen' : `${String(count)} Dinge sind anzusehen`,
  recording: (seat) => `Nimmt auf: ${seat ?? 'den ganzen Raum'}`,
  olderNotices: (count) => `Ältere (${String(count)})`,
  andMore: (count) => (count === 1 ? 'Und noch eine Meldung.' : `Und ${String(count)} weitere.`),

  noSeat: (name) => `In diesem Raum gibt es keinen Platz namens ${name}.`,
  seatLeft: (name) => `${name} hat den Raum verlassen`,
  seatLeftNext:
    'Der Platz steht nicht mehr in der Raumdatei. Steht er wieder darin, erscheint er hier von selbst.',
  seatCame: (name) => `${name} ist neu im Raum`,
  seatRefitted: (name, instrument) => `${name} hat jetzt ein anderes Instrument: ${instrument}`,
  toRoom: 'Zurück zum Raum',
  broken:
    'Dieser Teil der Seite ist ausgefallen. Lade die Seite neu; das Spielen berührt das nicht.',
};

const room: Texts['room'] = {
  seats: (count) => (count === 1 ? 'Ein Platz' : `${String(count)} Plätze`),
  plugged: {
    waiting: 'Hört zu, noch nichts gehört',
    here: 'Eingesteckt',
    silent: 'Stumm: Platine sendet nicht mehr',
    lost: 'Abgezogen',
  },
  from: 'Von',
  openSeat: (name) => `${name} genau ansehen`,
  plug: 'Einstecken',
  unplug: 'Abziehen',

  sounding: 'Es klingt',
  nothingSounds: 'nichts',
  mutedWord: 'stumm',
  guided: {
    wire: 'still: Die Verdrahtung wird gelernt',
    calibrate: 'still: Es wird kalibriert',
  },
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
  notHeard: 'Von ihr war noch nichts zu hören.',
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
    'LUFS sagt, wie laut der Klang pluckwork verlässt; 10 mehr klingt etwa doppelt so laut. Wie laut es im Raum ist, bestimmt der Lautsprecher: Beginne leise.',
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

  drawing: (name, pads) => `${name}: eine Zeichnung der ${String(pads)} Felder`,
  playHere: (name) => `${name} hier spielen`,
  playHow: {
    strings:
      'Jede Reihe ist eine Saite. Halte einen Bund (die Felder mit Zahlen), und berühre dann das gestrichelte Feld am Ende: Es zupft. Das gestrichelte Feld allein zupft die leere Saite.',
    keys: 'Jedes Feld ist eine Taste: Sie klingt, solange sie berührt wird.',
    holes:
      'Bedecke Löcher (die Felder mit Zahlen), und halte dann das gestrichelte Feld, das Mundstück: So wird geblasen.',
    hits: 'Jedes Feld ist eine Trommel.',
  },
  playHelp:
    'Berühre die Felder mit Fingern oder der Maus: je näher an der Mitte eines Feldes, desto stärker. Mit der Tastatur: Pfeiltasten gehen von Feld zu Feld, die Leertaste hält eines gedrückt (mit Umschalt: mit voller Stärke), Enter hält es fest, bis wieder Enter gedrückt wird, sodass eine Maus für das reicht, was zwei Hände braucht, Escape lässt alles los und macht den Raum still.',
  pad: {
    fret: (open, fret) => `${open}, Bund ${String(fret)}`,
    pluck: (open) => `${open} zupfen`,
    hole: (hole) => `Loch ${String(hole)}`,
    mouth: 'Mundstück',
  },
};

/** Regeln als Bedienelemente. */
const seatRules: Texts['seat']['rules'] = {
  heading: 'Regeln',
  help: 'Wie aus Berührungen Töne werden. Probiere eine Änderung sofort, während jemand spielt; geschrieben wird nur, was du behältst.',
  playing: (name) => `Spielt nach „${name}“`,
  choose: 'Andere Regeln',
  take: 'Danach spielen',
  takeLoses: 'Was probiert und nicht behalten wurde, geht verloren.',
  changed: 'geändert',
  tried: 'probiert, nicht behalten',
  changes: (count) =>
    count === 1
      ? '1 Änderung ist noch nicht probiert'
      : `${String(count)} Änderungen sind noch nicht probiert`,
  triedCount: (count) =>
    count === 1
      ? '1 Wert ist probiert und noch nicht behalten'
      : `${String(count)} Werte sind probiert und noch nicht behalten`,
  unchanged: 'Wie in der Datei.',
  try: 'Probieren',
  back: 'Zurück zur Datei',
  keepAs: 'Behalten als',
  keep: 'Behalten',
  kept: (name) => `Behalten als „${name}“: Dieser Platz spielt ab jetzt danach.`,
  keepHelp: 'Schreibt eine Regeldatei dieses Namens, die der Raum dann für diesen Platz nennt.',
  badName:
    'Ein Name besteht aus Buchstaben, Ziffern, Leerzeichen, - und _, und beginnt mit Buchstabe oder Ziffer.',
  exists: (name) =>
    `„${name}“ gibt es schon und wird nur geändert, wenn dieser Platz danach spielt.`,
  refusedBefore: 'Was zuletzt probiert wurde, wurde abgelehnt:',
  guest: 'Ein Gast kann keine Regeln ändern.',
  yes: 'ja',
  no: 'nein',
  never: 'nie',
  unit: 'Einheit',
  units: { us: 'Mikrosekunden', ms: 'Millisekunden', s: 'Sekunden', min: 'Minuten' },
  faults: {
    number: 'Das ist keine Zahl.',
    whole: 'Das muss eine ganze Zahl sein.',
    least: (least) => `Das Kleinste ist ${least}.`,
    range: (least, most) => `Das muss von ${least} bis ${most} gehen.`,
    time: 'Schreibe eine Zeit als Zahl, 0 oder mehr.',
    empty: 'Hier muss etwas stehen.',
  },
  ...ruleWords('de'),
  choices: {
    highest: 'höchster',
    lowest: 'tiefster',
    latest: 'neuester',
    loudest: 'lautester',
    never: 'nie',
    often: 'oft',
    always: 'immer',
    keep: 'Ton halten',
    end: 'Ton beenden',
  },
};

const counted = (count: number, one: string, many: string): string =>
  `${String(count)} ${count === 1 ? one : many}`;

/** Die Ansicht eines Platzes. */
const seat: Texts['seat'] = {
  rules: seatRules,
  title: (name) => `Platz ${name}`,
  from: (words) => `Messwerte kommen von: ${words}`,
  parts: 'Auf dieser Seite',
  plugged: {
    waiting: 'hört zu, noch nichts gehört',
    here: 'eingesteckt',
    silent: 'stumm: Platine sendet nicht mehr',
    lost: 'herausgezogen',
  },
  build: {
    of: (name) => `kalibriert als „${name}“`,
    none: 'wird beim Start kalibriert',
  },
  moments: {
    lost: {
      what: 'Was hier steht, ist der letzte bekannte Stand des Platzes',
      next:
        'Das Spiel und eine Aufnahme gehen ohne die Seite weiter, die es von selbst wieder versucht. ' +
        'Begonnenes Verdrahten oder Kalibrieren endet von selbst, wenn keine Seite wiederkommt.',
    },
    ended: {
      what: 'Von diesem Platz kommt nichts mehr: Der Raum ist beendet',
      next: 'Starte „play“ am Computer neu. Auch Aufgenommenes lässt sich dann ansehen.',
    },
    waiting: {
      what: 'Von diesem Instrument kam noch nichts',
      next:
        'Stecke seine Platine ein und warte einige Sekunden. Kommt nichts: nimm ein anderes Kabel ' +
        '(manche laden nur), stecke ohne Verteiler ein und sieh nach, ob die Platine leuchtet.',
    },
    silent: {
      what: 'Die Platine dieses Instruments sendet nicht mehr',
      next:
        'Seine Töne wurden beendet. Prüfe Strom, Kabel und Netz. Es spielt wieder, sobald Messwerte ' +
        'kommen; lass ein Feld los, bevor du es wieder berührst.',
    },
    pulled: {
      what: 'Dieses Instrument wurde herausgezogen',
      next: 'Seine Töne sind beendet. Stecke es wieder ein: Es geht von selbst weiter wie zuvor.',
    },
    own: {
      what: 'Diese Platine entscheidet selbst, was eine Berührung ist',
      next:
        'Hier ist nichts zu verdrahten oder zu kalibrieren, und ihre Pegel sind nur „berührt“ oder ' +
        '„frei“. Um mehr zu sehen, lass ihr Programm rohe Messwerte senden.',
    },
    rests: {
      what: 'Die Kalibrierung dieses Platzes passt nicht zum eingesteckten Instrument',
      next:
        'Ist es ein anderes Instrument, dann nenne in der Raumdatei dessen eigenen Build. Ist es das ' +
        'richtige, dann wurden Drähte umgesteckt oder die Platine getauscht: Lerne unten die Verdrahtung ' +
        'neu. Bis dahin spielt es kalibriert beim Start, vielleicht mit Feldern am falschen Ort.',
    },
    scale: {
      what: 'Die Platine sendet Messwerte anderer Größe als bei der Kalibrierung dieses Platzes',
      next:
        'Prüfe, ob das Programm der Platine noch dasselbe ist, und „full:“ in der Raumdatei; kalibriere ' +
        'dann unten neu. Bis dahin spielt es kalibriert beim Start.',
    },
    range: {
      what: 'Die Kalibrierung dieses Platzes enthält Messwerte, die diese Platine nicht senden kann',
      next:
        'Setze „full:“ in der Raumdatei auf das, was die Platine wirklich sendet; stimmt es schon, dann ' +
        'kalibriere unten neu. Bis dahin spielt es kalibriert beim Start.',
    },
    wires: {
      what: 'Seit der Kalibrierung dieses Platzes scheinen Drähte vertauscht zu sein',
      next:
        'Stecke sie zurück oder lerne unten die Verdrahtung neu. Die Meldungen des Raums nennen die ' +
        'Felder.',
    },
    plugHere: 'Hier einstecken',
  },
  levels: {
    heading: 'Pegel',
    help: 'Wie viel jedes Feld spürt, über die letzten Sekunden. Eine Berührung beginnt über den langen Strichen und kann unter den Punkten enden.',
    picture: (seconds) =>
      `Bild der Pegel aller Felder über die letzten ${String(seconds)} Sekunden; die Tabelle der Felder sagt dasselbe in Worten.`,
    freeze: 'Anhalten',
    frozen: 'Angehalten. Leertaste: weiter.',
    going: 'Leertaste: Bild anhalten.',
    span: 'Gezeigte Zeit',
    seconds: (seconds) => `${String(seconds)} s`,
    ago: (seconds) => `vor ${String(seconds)} s`,
    now: 'jetzt',
    begins: 'Berührung beginnt',
    ends: 'Berührung kann enden',
    touched: 'berührt',
  },
  pads: {
    heading: 'Felder',
    help: 'Was sich zeigt, während die Felder berührt werden. Berühre jedes einmal fest, eines nach dem anderen.',
    grades: {
      good: 'gut',
      weak: 'schwach',
      bad: 'schlecht',
      heard: 'gehört',
      unheard: 'nicht gehört',
    },
    none: 'Berühre jedes Feld einmal fest: Was nicht berührt wurde, hat noch kein Urteil.',
    count: {
      good: (count) => `${String(count)} gut`,
      weak: (count) => `${String(count)} schwach`,
      bad: (count) => `${String(count)} schlecht`,
      heard: (count) => `${String(count)} gehört, noch nicht beurteilt`,
      unheard: (count) => `${String(count)} noch nicht gehört`,
    },
    allGood: 'Alle Felder sind gut.',
    fix: 'Anzusehen',
    table: 'Alle Felder',
    columns: { pad: 'Feld', level: 'Jetzt', verdict: 'Urteil' },
    levels: {
      rest: 'in Ruhe',
      trace: 'eine Spur',
      light: 'leicht',
      half: 'etwa halb',
      full: 'voll',
      over: 'mehr als voll',
    },
    touched: 'berührt',
    free: 'frei',
    what: 'Was nicht stimmt',
    cause: 'Wahrscheinlich weil',
    next: 'Als Nächstes',
    together: (pads) =>
      `Gehört, aber nur zusammen mit anderen${pads === null ? '' : `: ${pads}`}. Um ihr Signal zu beurteilen, berühre jedes einmal für sich, fest, und lass dabei alle anderen los.`,
    untried: (pads) =>
      `Noch nicht gehört: ${pads}. Berühre jedes einmal fest; ändert sich nichts, ist vielleicht sein Draht oder seine Verbindung gebrochen.`,
    care: {
      heading: 'Vorsicht',
      heat:
        'Lötkolben und Heißkleber verbrennen. Ziehe das Instrument zuerst heraus, halte dich an die ' +
        'örtlichen Regeln, und überlass die Arbeit geschultem Personal, wo sie es verlangen.',
      blade:
        'Kupferband hat scharfe Kanten, und Klingen schneiden. Schneide von dir und anderen weg, auf ' +
        'einer Matte, wie es die örtlichen Regeln sagen.',
    },
  },
  guide: {
    heading: 'Verdrahten und Kalibrieren',
    help: 'Ein Feld nach dem anderen wird verlangt. Der Platz ist so lange still; die anderen spielen weiter.',
    wire: {
      begin: 'Verdrahtung lernen',
      about:
        'Für ein neues Instrument, oder wenn Drähte versetzt wurden: Berühre jedes Feld einmal, wenn es ' +
        'verlangt wird; so wird gelernt, welcher Draht zu welchem Feld gehört. Dauert etwa eine Minute.',
      name: 'Verdrahtung wird gelernt',
    },
    calibrate: {
      begin: 'Kalibrieren',
      about:
        'Für Felder, die zu schwach oder zu stark sind oder von selbst klingen: Berühre jedes Feld fest; ' +
        'so wird neu gelernt, wie es misst. Dauert etwa eine Minute.',
      name: 'Kalibrierung',
    },
    own: 'Diese Platine entscheidet selbst, was eine Berührung ist: Hier ist nichts zu verdrahten oder zu kalibrieren.',
    unheard:
      'Stecke das Instrument zuerst ein: Seine Felder müssen zu hören sein, um gelernt zu werden.',
    guest: 'Ein Gast kann das nicht beginnen.',
    elsewhere: (name) =>
      `Platz ${name} wird gerade verdrahtet oder kalibriert, und es geht nur einer auf einmal. Beende es zuerst dort.`,
    there: (name) => `Zu Platz ${name}`,
    silent: 'Dieser Platz ist still, bis das vorbei ist; die anderen spielen weiter.',
    letGo: 'Alle Felder loslassen',
    letGoMore:
      'Nimm die Hände einen Moment vom Instrument, damit Ruhe von Berührung zu unterscheiden ist.',
    touch: (pad) => `Berühre: ${pad}`,
    touchAny: 'Berühre jedes Feld fest',
    allAsked: 'Alle Felder waren an der Reihe: wird gleich behalten',
    saving: 'Speichere …',
    done: 'Fertig',
    failed: 'Es hat nicht geklappt',
    progress: (done, of) => `${String(done)} von ${String(of)} Feldern`,
    undo: 'Letztes Feld zurücknehmen',
    skip: 'Dieses Feld auslassen',
    keep: 'Behalten, was fertig ist',
    end: 'Beenden, nichts ändern',
    close: 'Schließen',
    again: 'Noch einmal',
    keys: 'Tasten hier: U nimmt zurück, S lässt aus.',
    file: (file) => `Gespeichert als ${file}, und gilt ab jetzt.`,
    unfit: (count) => `${counted(count, 'Feld ist', 'Felder sind')} noch nicht brauchbar:`,
    allFit: 'Alle Felder sind brauchbar.',
    next: 'Als Nächstes:',
    unchanged: 'Nichts wurde geändert: Der Platz spielt wie zuvor.',
  },
  record: {
    heading: 'Aufnahme',
    help: 'Eine Aufnahme enthält, was die Felder messen: Man kann sie ansehen und mit anderen Regeln noch einmal ablaufen lassen.',
    begin: 'Diesen Platz aufnehmen',
    end: 'Aufnahme beenden',
    on: 'Nimmt auf',
    ofRoom: 'Der ganze Raum wird aufgenommen.',
    ofOther: (name) => `Platz ${name} wird aufgenommen; es geht nur eine Aufnahme auf einmal.`,
    scans: 'Abtastungen',
    file: 'Datei',
    done: 'Aufgenommen',
    writing: 'Die Datei wird fertig geschrieben …',
    open: (name) => `${name} ansehen`,
    guest: 'Ein Gast kann nicht aufnehmen.',
  },
};

const sound: Texts['sound'] = {
  heading: 'Klang auf diesem Gerät',
  about:
    'Dieses Gerät kann der Lautsprecher sein: Dann klingt hier alles, was im Raum gespielt wird.',
  turnOn: 'Auf diesem Gerät klingen lassen',
  turnOff: 'Ausschalten',
  opening: 'Wird vorbereitet …',
  caution:
    'Vor dem Einschalten: Stelle dieses Gerät leise. Eine Person spielt so fest, wie sie kann, du stellst die Lautstärke so ein, dass es am nächsten Ohr angenehm ist, und erst dann spielen die anderen mit. Keine Kopf- oder Ohrhörer dafür.',
  states: {
    off: 'Aus: Auf diesem Gerät klingt nichts.',
    on: 'An: Auf diesem Gerät klingt der Raum.',
    waiting: 'An, aber still: Es besteht keine Verbindung zu pluckwork.',
    held: 'Der Browser hält den Klang zurück, bis du die Seite berührst.',
    hidden: 'Still, solange diese Seite verdeckt ist.',
    failed: 'Mehrmals ausgefallen und jetzt still. Schalte aus und wieder ein.',
    closed: 'Aus: Auf diesem Gerät klingt nichts.',
  },
  resume: 'Klingen lassen',
  refused: (why) => `Der Raum kann hier nicht klingen: ${why}`,
  notHere: (why) =>
    `Dieser Browser kann den Raum nicht klingen lassen. Nimm einen anderen oder neueren. (${why})`,
  stay: 'Lass diese Seite im Blick und den Bildschirm an: Verdeckt ist sie still.',
  doubled: (names) =>
    `Auch eingeschaltet: ${names}. Zwei Lautsprecher in einem Raum klingen doppelt, einer etwas später. Schalte den anderen in der Raumansicht aus, oder diesen hier.`,
  level: 'Pegel dieses Geräts',
  levelWords: (percent, decibels) =>
    percent === 0 ? 'still' : `${String(percent)} % (${decibels} dB)`,
  loudness: 'Lautheit der letzten 3 Sekunden',
  standing: {
    silent: 'Nichts klingt',
    quiet: 'Weit unter der Grenze',
    usual: 'Unter der Grenze',
    near: 'Nahe an der Grenze',
    held: 'An der Grenze gehalten',
  },
  lufs: (now, most) => `${now} von höchstens ${most} LUFS`,
  lufsOpen: (now) => `${now} LUFS`,
  peak: (now, most) => `Höchste Spitze ${now} von höchstens ${most} dBTP`,
  heldBy: (decibels) => `um ${decibels} dB leiser gestellt`,
  nothing: 'Stille',
  delay: (ms) => `Klingt etwa ${String(ms)} ms nach der Berührung.`,
  gaps: (count) =>
    count === 1
      ? 'Es hat einmal ausgesetzt. Geschieht das wieder, schließe andere Programme und Seiten auf diesem Gerät.'
      : `Es hat ${String(count)}-mal ausgesetzt. Schließe andere Programme und Seiten auf diesem Gerät.`,
  ears: 'Wie laut ist zu laut?',
  earsText: [
    'Diese Zahlen gelten dem Signal, nicht dem Raum: Erst die Lautstärke des Geräts und der Lautsprecher machen Schalldruck daraus. Den zeigt nur ein Schallpegelmesser nahe am Ohr.',
    'Als Anhalt, für Geräte zum Hören unterwegs (ITU-T H.870): 80 dB(A) für Erwachsene und 75 dB(A) für Kinder, 40 Stunden in der Woche; je 3 dB mehr halbieren die Zeit. Bei der Arbeit: Ab 80 und 85 dB(A) über 8 Stunden ist etwas zu tun, 87 ist die Grenze (EU-Richtlinie 2003/10/EG).',
    'Die Regeln vor Ort und wer dafür geschult ist, gehen vor, vor allem wenn das Gehör von jemandem Rücksicht braucht. Mache eine Pause, wenn Ohren klingeln oder Stimmen dumpf klingen, und vereinbare ein Zeichen für Stille.',
  ],
};

const COMMANDS = 'pluckwork compare TAKE --rules A --rules B';
const seconds = (t: number): string => `${(t / 1e6).toFixed(2).replace('.', ',')} s`;

const takeFaults: TakeFaults = {
  fault: (fault, take) => {
    switch (fault.kind) {
      case 'words':
        return { what: fault.what, next: fault.next, english: true };
      case 'unreachable':
        return {
          what: 'Die Aufnahme, oder etwas, das sie nennt, war nicht zu holen.',
          next: 'Sieh nach, ob der Computer wach und im selben Netz ist, und versuche es noch einmal. Aufnahmen dieses Geräts, die ihr Instrument enthalten, öffnen sich auch ohne ihn.',
        };
      case 'not-a-take':
        return {
          what: `Diese Datei ist keine Aufnahme (${fault.what}).`,
          next: 'Wähle eine Datei, die der Rekorder geschrieben hat; ihr Name endet auf .take.jsonl oder .take.jsonl.gz.',
        };
      case 'gzip':
        return {
          what: 'Diese Datei ist gepackt (gzip), und nichts davon lässt sich entpacken.',
          next: 'Sie ist beschädigt. Nimm eine andere Kopie.',
        };
      case 'too-long':
        return {
          what: 'Diese Datei ist zu lang für diese Seite, die alles davon im Speicher hält.',
          next: 'Wähle eine kürzere, oder nimm am Computer die Befehle rerun, score und compare.',
        };
      case 'own-logic':
        return {
          what: `Die Regeln „${fault.rules}“ spielt ein eigenes Modul (${fault.file}), das auf dieser Seite nicht laufen kann.`,
          next: `Wähle hier andere Regeln, oder starte am Computer: ${COMMANDS.replace('TAKE', take)}`,
        };
      case 'made':
        return {
          what: 'Die Töne dieser Aufnahme hat ein anderer Computer gemacht; keine Regeln hier ändern sie.',
          next: 'Öffne eine Aufnahme, die dort gemacht wurde.',
        };
      case 'plan':
        return {
          what: `${fault.what.charAt(0).toUpperCase()}${fault.what.slice(1)}.`,
          next: `Nenne es am Computer: ${COMMANDS.replace('TAKE', take)} --${fault.instead} NAME`,
          english: true,
        };
      case 'not-notes':
        return {
          what: fault.take
            ? 'Das ist eine Aufnahme, keine gewünschten Töne.'
            : 'Diese Datei enthält keine Töne.',
          next: fault.take
            ? 'Mache am Computer Töne daraus: pluckwork rerun TAKE --notes FILE'
            : 'Wähle eine Notendatei: ein Ton je Zeile, wie „pluckwork rerun“ sie schreibt.',
        };
      case 'broken':
        return {
          what: `Dieser Teil der Seite ist ausgefallen: ${fault.what}.`,
          next: 'Lade die Seite neu; das Spielen berührt das nicht.',
        };
    }
  },
  note: (note) => {
    switch (note.kind) {
      case 'cut-gzip':
        return 'Die gepackte Datei bricht ab: Sie wurde gelesen, so weit sie geht.';
      case 'lines': {
        const of = note.of === 'take' ? 'der Aufnahme' : 'der gewünschten Töne';
        const first = `Zeile ${String(note.line)}: ${note.what}`;
        return note.count === 1
          ? `Eine Zeile ${of} war nicht zu lesen (${first}).`
          : `${String(note.count)} Zeilen ${of} waren nicht zu lesen (die erste: ${first}).`;
      }
      case 'none-wanted':
        return 'Kein Ton ist gewünscht, also zählt jeder als nicht gewünscht.';
      case 'swapped-logic':
        return `Ab ${seconds(note.t)} spielte ein eigenes Modul (${note.file}); hier spielt stattdessen die eingebaute Logik. „pluckwork compare“ lässt beides ablaufen.`;
      case 'others-logic':
        return `Ein eigenes Modul spielt an ${note.seats.join(', ')}; hier spielt dort stattdessen die eingebaute Logik. „pluckwork explain“ lässt es ablaufen.`;
      case 'failed':
        return `Die Spiellogik fiel bei ${seconds(note.t)} aus und beendete ihre Töne: ${note.what}. Von da an ging es weiter.`;
    }
  },
};

const spanWords = (micros: number): string => english.spanWords(micros).replace('.', ',');

const KINDS: Readonly<Record<ChangeKind, string>> = {
  missed: 'klingt nur in A',
  added: 'klingt nur in B',
  pitch: 'in B mit anderer Tonhöhe',
  earlier: 'beginnt in B früher',
  later: 'beginnt in B später',
  louder: 'in B lauter',
  softer: 'in B leiser',
  longer: 'endet in B später',
  shorter: 'endet in B früher',
};

const HOW: Readonly<Record<ChangeKind, string>> = {
  missed: 'fehlt in B',
  added: 'zusätzlich in B',
  pitch: '',
  earlier: 'früher',
  later: 'später',
  louder: 'lauter',
  softer: 'leiser',
  longer: 'länger',
  shorter: 'kürzer',
};

function changes({ a, b, changes: all }: Compared, { kind }: Instrument): string {
  const pitch = kind === 'hits' ? drums : pitchName;
  const words = all.map((one) => {
    switch (one.kind) {
      case 'missed':
      case 'added':
        return HOW[one.kind];
      case 'pitch':
        return `${pitch(b!.note)} statt ${pitch(a!.note)}`;
      case 'louder':
      case 'softer':
        return `${HOW[one.kind]} (${String(a!.velocity)} → ${String(b!.velocity)})`;
      default:
        return `${spanWords(one.by!)} ${HOW[one.kind]}`;
    }
  });
  return words.join(', ');
}

const NEARER: readonly (readonly [string, readonly ChangeKind[]])[] = [
  ['der Zeit', ['earlier', 'later']],
  ['der Lautstärke', ['louder', 'softer']],
  ['der Länge', ['longer', 'shorter']],
];

function verdict({ right, nearer }: Verdict): string {
  if (right === 'neither') return 'keine hat recht';
  if (right !== 'both') return `${right} hat recht`;
  const near = (['A', 'B'] as const).flatMap((side) => {
    const ways = NEARER.filter(([, kinds]) => kinds.some((kind) => nearer[kind] === side));
    return ways.length === 0 ? [] : [`${side} näher in ${joined(ways.map(([what]) => what))}`];
  });
  return near.length === 0 ? 'beide haben recht' : `beide haben recht; ${near.join(', ')}`;
}

const tones = (count: number): string => counted(count, 'Ton', 'Töne');

function headline(notes: readonly Compared[]): string {
  const count = (fits: (one: Compared) => boolean): number => notes.filter(fits).length;
  const has = (...kinds: ChangeKind[]): number =>
    count((one) => one.changes.some(({ kind }) => kinds.includes(kind)));
  const alike = count((one) => one.changes.length === 0);
  if (notes.length === 0) return 'Keine Seite spielt einen Ton.';
  if (alike === notes.length) return `A und B klingen gleich: ${tones(alike)}.`;
  const doing = [
    ...part(has('missed'), (all) => `lässt ${all} von A weg`),
    ...part(has('added'), (all) => `fügt ${all} hinzu`),
    ...part(has('pitch'), (all) => `spielt ${all} in anderer Tonhöhe`),
  ];
  const other = count((one) => one.changes.length > 0 && !isAnotherNote(one));
  const ways = (
    [
      ['Zeit', has('earlier', 'later')],
      ['Lautstärke', has('louder', 'softer')],
      ['Länge', has('longer', 'shorter')],
    ] as const
  ).flatMap(([what, number]) => (number > 0 ? [what] : []));
  return [
    doing.length > 0 ? `B ${joined(doing)}.` : 'B spielt die Töne von A.',
    ...part(other, (all) =>
      other === 1
        ? `${all} unterscheidet sich in ${joined(ways)}.`
        : `${all} unterscheiden sich in ${joined(ways)}.`,
    ),
    alike === 0 ? 'Keiner ist gleich.' : `Gleich: ${tones(alike)}.`,
  ].join(' ');
}

const part = (count: number, words: (all: string) => string): string[] =>
  count === 0 ? [] : [words(tones(count))];

function joined(parts: readonly string[]): string {
  const last = parts.at(-1) ?? '';
  return parts.length < 2 ? last : `${parts.slice(0, -1).join(', ')} und ${last}`;
}

const comma = (text: string): string => text.replace('.', ',');

const take: Texts['take'] = {
  ...takeFaults,
  list: {
    heading: 'Aufnahmen',
    help: 'Eine Aufnahme enthält, was die Felder messen. Öffne eine, um zu sehen und zu hören, was andere Regeln daraus gemacht hätten.',
    none: 'Noch wurde nichts aufgenommen. Nimm an einem Platz etwas auf, oder öffne eine Aufnahme von diesem Gerät.',
    waiting: 'Die Liste kommt, sobald der Raum verbunden ist.',
    columns: { name: 'Aufnahme', at: 'Aufgenommen', size: 'Größe', of: 'Von' },
    room: 'dem ganzen Raum',
    seat: 'einem Platz',
    back: 'Alle Aufnahmen',
    size: (bytes) =>
      bytes < 999_500
        ? `${String(Math.max(1, Math.round(bytes / 1000)))} kB`
        : comma(`${(bytes / 1e6).toFixed(1)} MB`),
  },
  device: {
    open: 'Aufnahme von diesem Gerät öffnen',
    help: 'Sie bleibt auf diesem Gerät: Nichts wird gesendet.',
  },

  choose: {
    heading: 'Was verglichen wird',
    seat: 'Platz',
    noName: 'Der einzige Platz',
    a: 'A, Regeln',
    b: 'B, Regeln',
    played: (rules) => (rules === null ? 'Wie gespielt wurde' : `Wie gespielt wurde (${rules})`),
    files: 'Regeldateien',
    now: 'Was jetzt an einem Platz gilt',
    nowAt: (seat, rules, tried) =>
      tried === 0
        ? `${seat}: ${rules}`
        : `${seat}: ${rules}, mit ${counted(tried, 'ausprobiertem Wert', 'ausprobierten Werten')}`,
    gone: 'Diesen Platz gibt es im Raum nicht mehr. Wähle andere Regeln.',
    wanted: 'Nach gewünschten Tönen beurteilen',
    wantedHelp:
      'Eine Notendatei dieses Geräts: was hätte klingen sollen. Jeder Unterschied sagt dann, welche Seite recht hat.',
    wantedIs: (name, count) => `${name}: ${counted(count, 'gewünschter Ton', 'gewünschte Töne')}`,
    wantedOff: 'Nicht mehr beurteilen',
  },
  busy: {
    fetch: 'Die Aufnahme wird geholt',
    read: 'Die Aufnahme wird gelesen',
    a: 'Die Aufnahme läuft mit A ab',
    b: 'Die Aufnahme läuft mit B ab',
    levels: 'Die Pegel werden gezeichnet',
    explain: 'Die Aufnahme läuft noch einmal ab, mit je einer geänderten Regel',
  },

  summary: {
    heading: 'Kurz gesagt',
    headline,
    of: (instrument, seconds) => `${instrument}, ${seconds} Spiel.`,
    side: 'Seite',
    rules: 'Regeln',
    notes: 'Töne',
    score: 'Nach dem Gewünschten',
    count: tones,
    scored: (f, right, wanted, added) =>
      `F ${comma(english.share(f))}: ${String(right)} von ${counted(wanted, 'gewünschten Ton', 'gewünschten Tönen')} richtig, ${String(added)} nicht gewünscht`,
  },

  place: {
    string: (open) => `Saite ${open}`,
    open: (open) => `${open} leer`,
    pipe: 'Pfeife',
  },
  seconds: (seconds, digits) => comma(`${seconds.toFixed(digits)} s`),
  span: spanWords,

  view: {
    heading: 'Pegel und Töne',
    picture: (pads, notes) =>
      `Pegel von ${counted(pads, 'Feld', 'Feldern')} über die Zeit, darunter ${counted(notes, 'Ton', 'Töne')} von A und B. Die Tabellen darunter sagen dasselbe in Worten.`,
    keys: 'Tasten im Bild: ← und → bewegen die Linie (mit Umschalt: blättern), ↑ und ↓ wählen die Zeile, + und − zoomen, n und p gehen zum nächsten und vorigen Unterschied, Enter sagt, warum.',
    touch:
      'Drücke auf eine Stelle, um zu erfahren, warum dort ein Ton war oder keiner. Zwei Finger, oder Strg mit dem Rad, zoomen.',
    tools: 'Was gezeigt wird',
    earlier: 'Früher',
    later: 'Später',
    out: 'Verkleinern',
    in: 'Vergrößern',
    whole: 'Ganze Aufnahme',
    before: 'Voriger Unterschied',
    after: 'Nächster Unterschied',
    shown: (from, to) => `${from} bis ${to}`,
    overview: 'Die ganze Aufnahme; der Rahmen ist, was gezeigt wird',
    scroll: 'Stelle in der Aufnahme',
    a: (rules) => `A ${rules}`,
    b: (rules) => `B ${rules}`,
    wanted: 'gewünscht',
    at: (time, row) => `${time}, ${row}`,
    level: (level) => `Pegel ${comma(level)}`,
    nothing: 'kein Messwert',
    noNote: 'kein Ton',
    note: (pitch, from, long, velocity) =>
      [
        `${pitch} bei ${from}`,
        ...(long === null ? [] : [`${long} lang`]),
        ...(velocity === null ? [] : [`Anschlag ${String(velocity)}`]),
      ].join(', '),
  },
  legend: {
    heading: 'Was das Bild zeigt',
    curves: 'Kurven sind Pegel, nach A: 0 in Ruhe, 1 bei voller Berührung.',
    dashed: 'Gestrichelt: wo eine Berührung frühestens beginnt.',
    dashedTwo: 'Gestrichelt: wo eine Berührung nach A frühestens beginnt; gepunktet: nach B.',
    boxes: 'Kästen sind Töne, mit Tonhöhe und Anschlag.',
    wanted: 'Gepunktete Kästen waren gewünscht.',
    differ:
      'Dicke Kästen unterscheiden sich; schraffierte gibt es nur auf einer Seite, gestrichelte fehlen.',
    kinds: KINDS,
  },

  differences: {
    heading: 'Unterschiede',
    which: 'Zeigen',
    whichOf: {
      all: 'alle',
      another: 'fehlend, zusätzlich, andere Tonhöhe',
      time: 'früher oder später',
      loudness: 'lauter oder leiser',
      length: 'länger oder kürzer',
    },
    none: 'Keine: Beide spielen dasselbe.',
    noneOf: 'Darin unterscheidet sich nichts.',
    columns: {
      number: 'Nr.',
      time: 'Zeit',
      where: 'Wo',
      a: 'A',
      b: 'B',
      what: 'In B',
      right: 'Nach dem Gewünschten',
    },
    count: (count) => counted(count, 'Unterschied', 'Unterschiede'),
    go: (number, time) => `Unterschied ${String(number)}: zu ${time}`,
    told: (number, of, time, where, words) =>
      `Unterschied ${String(number)} von ${String(of)} bei ${time}, ${where}: ${words}`,
    changes,
    verdict,
    more: (count) => `${String(count)} weitere zeigen`,
  },
  rules: {
    heading: 'Regeln, die sich unterscheiden',
    none: 'Keine: Beide Regelsätze sagen dasselbe.',
    columns: { key: 'Regel', a: 'A', b: 'B', about: 'Was sie tut' },
    idle: 'In dieser Aufnahme ohne Bedeutung: Ihr Instrument ist von anderer Art.',
  },

  explain: {
    heading: 'Warum war da ein Ton, oder keiner?',
    help: 'Wähle hier eine Zeit und ein Feld, oder drücke auf eine Stelle im Bild. Die Aufnahme läuft so oft noch einmal ab, bis feststeht, welche Regel entschieden hat.',
    time: 'Zeit in Sekunden',
    pad: 'Feld',
    allPads: 'Alle Felder',
    side: 'Nach den Regeln von',
    ask: 'Erklären',
    badTime: (most) => `Schreibe eine Zeit von 0 bis ${most}.`,
    title: (time, pad, side) =>
      pad === null ? `Bei ${time}, nach ${side}` : `Bei ${time}, ${pad}, nach ${side}`,
    pads: 'Was die Felder taten',
    noPads: 'Kein Feld bewegte sich.',
    came: 'Was daraus wurde',
    sounding: 'Klingt die ganze Zeit:',
    checked: 'Was es geändert hätte',
    checkedHelp:
      'Herausgefunden, indem die Aufnahme mit je einer geänderten Regel noch einmal ablief.',
    columns: { rule: 'Mit', words: 'wäre es gewesen' },
    limits: 'Grenzen:',
    english: 'Die Erklärung gibt es nur auf Englisch.',
  },

  play: {
    heading: 'Anhören',
    a: 'A spielen',
    b: 'B spielen',
    stop: 'Stopp',
    from: (from, to) => `Spielt ${from} bis ${to}, auf diesem Gerät.`,
    caution: 'Drehe zuerst die Lautstärke dieses Geräts herunter.',
    starting: 'Der Klang wird gestartet',
    held: 'Der Browser hält den Klang zurück: Drücke noch einmal.',
    hidden: 'Still, solange die Seite verdeckt ist.',
    playing: (side, time) => `${side} bei ${time}`,
  },
};

/** Alles, was auf der Seite zu lesen ist, auf Deutsch. */
export const de: Texts = { shell, room, seat, take, sound, sounds, drums };
