import type { Texts } from '../en.js';
import { changes, counted, headline, KINDS, share, spanWords, verdict } from './take-words.js';
import { takeFaults } from './take-faults.js';

const comma = (text: string): string => text.replace('.', ',');

export const take: Texts['take'] = {
  ...takeFaults,
  list: {
    heading: 'Aufnahmen',
    help: 'Eine Aufnahme enthält, was die Felder messen. Öffne eine, um zu sehen und zu hören, was andere Regeln daraus gemacht hätten.',
    none: 'Noch wurde nichts aufgenommen. Nimm an einem Platz etwas auf, oder öffne eine Aufnahme von diesem Gerät.',
    waiting: 'Die Liste kommt, sobald der Raum verbunden ist.',
    open: (name) => `${name} ansehen`,
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
  percent: (part) => `${String(Math.round(part * 100))} %`,

  summary: {
    heading: 'Kurz gesagt',
    headline,
    of: (instrument, seconds) => `${instrument}, ${seconds} Spiel.`,
    side: 'Seite',
    rules: 'Regeln',
    notes: 'Töne',
    score: 'Nach dem Gewünschten',
    count: (count) => counted(count, 'Ton', 'Töne'),
    scored: (f, right, wanted, added) =>
      `F ${comma(share(f))}: ${String(right)} von ${counted(wanted, 'gewünschten Ton', 'gewünschten Tönen')} richtig, ${String(added)} nicht gewünscht`,
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
    keys: 'Tasten im Bild: ← und → bewegen die Linie (mit Umschalt: blättern), ↑ und ↓ wählen die Zeile, + und − zoomen, n und p gehen zum nächsten und vorigen Unterschied, Eingabe sagt, warum.',
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
    whyHere: 'Warum hier?',
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
      ...{ number: 'Nr.', time: 'Zeit', where: 'Wo', a: 'A', b: 'B', what: 'In B' },
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
    limits: 'Ein Feld ist',
    english: 'Die Erklärung gibt es nur auf Englisch.',
    close: 'Schließen',
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
    ended: 'Zu Ende.',
  },
};
