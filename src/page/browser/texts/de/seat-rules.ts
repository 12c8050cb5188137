import type { seatRules as english } from '../en/seat-rules.js';

/** Regeln als Bedienelemente. */
export const seatRules: typeof english = {
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
  groups: {
    logic: 'Eigene Logik',
    touch: 'Berührung',
    strength: 'Stärke',
    velocity: 'Anschlag',
    strings: 'Saiten',
    keys: 'Tasten',
    holes: 'Löcher',
    hits: 'Schläge',
    voices: 'Stimmen',
  },
  groupAbout: {
    logic: 'Ein eigenes Programm statt der eingebauten Regeln.',
    touch: 'Wann ein Feld als berührt gilt.',
    strength: 'Wie lange gemessen wird, wie fest eine Berührung war.',
    velocity: 'Wie laut eine Berührung ist.',
    strings: 'Wie aus Bünden und Zupfern Töne werden.',
    keys: 'Wie aus Tasten Töne werden.',
    holes: 'Wie aus den Griffen einer Pfeife Töne werden.',
    hits: 'Wie aus Schlagfeldern Töne werden.',
    voices: 'Wie viele Töne zugleich klingen.',
  },
  labels: {
    logic: 'Datei mit eigener Logik',
    'touch.on': 'Berührung beginnt bei',
    'touch.off': 'Berührung kann enden unter',
    'touch.lift': 'Losgelassen nach',
    'strength.readings': 'Weitere Messwerte für die Spitze',
    'strength.within': 'Höchstens darauf warten',
    'velocity.softest': 'Anschlag der leisesten Berührung',
    'velocity.hardest': 'Anschlag der festesten Berührung',
    'velocity.curve': 'Verlauf dazwischen',
    'strings.stop': 'Bund, der zählt',
    'strings.hammer-on': 'Aufschlag (Hammer-on)',
    'strings.pull-off': 'Abzug (Pull-off)',
    'strings.slide': 'Rutscher (Slide)',
    'strings.slide-overlap': 'Rutscher: höchstens beide Bünde',
    'strings.slide-gap': 'Rutscher: höchstens kein Bund',
    'strings.ring': 'Leere Saite klingt',
    'strings.damp-by-fret': 'Ein Bund dämpft',
    'strings.damp-by-hold': 'Halten des Zupffelds dämpft nach',
    'strings.late-fret': 'Später Bund zählt noch',
    'strings.wait-for-fret': 'Zupfer wartet auf einen Bund',
    'strings.early-lift': 'Früh gelöster Bund zählt noch',
    'strings.resting-thumb': 'Ruhender Daumen ab',
    'strings.brush': 'Gestreifte Saite wartet',
    'strings.brush-share': 'Gestreift, wenn schwächer als',
    'keys.ring-on': 'Klingt nach',
    'holes.settle': 'Finger kommen zur Ruhe',
    'holes.mouth-waits': 'Mund wartet auf Finger',
    'holes.unknown': 'Unbekannter Griff',
    'hits.mask': 'Taub nach einem Schlag',
    'hits.ring': 'Schlag dauert',
    'voices.most': 'Töne zugleich',
    'voices.keep': 'Töne, die bleiben',
  },
  about: {
    logic: 'Eine eigene Datei, die statt der eingebauten Logik spielt; ihr Pfad von hier aus.',
    'touch.on': 'Der Pegel, bei dem eine Berührung beginnt.',
    'touch.off': 'Der tiefere Pegel, unter dem eine Berührung enden kann.',
    'touch.lift': 'Wie lange ein Pegel darunter bleiben muss, bis das Feld als losgelassen gilt.',
    'strength.readings':
      'Wie viele weitere Messwerte nach der Spitze einer Berührung durchsucht werden; 0 wartet auf keinen.',
    'strength.within': 'Wie lange höchstens auf diese Messwerte gewartet wird.',
    'velocity.softest': 'Die MIDI-Anschlagstärke der leisesten Berührung.',
    'velocity.hardest': 'Die MIDI-Anschlagstärke der festesten Berührung.',
    'velocity.curve':
      'Wie der Anschlag mit der Stärke wächst: eine Potenz (über 1 spät, unter 1 früh), „square“ oder eine Tabelle.',
    'strings.stop': 'Welcher von mehreren gehaltenen Bünden die Saite verkürzt.',
    'strings.hammer-on':
      'Ein Bund, der auf einer klingenden Saite gedrückt wird, ändert ihren Ton.',
    'strings.pull-off': 'Ein Bund, der auf einer klingenden Saite gelöst wird, ändert ihren Ton.',
    'strings.slide': 'Von einem Bund zum Nachbarn zu gehen ändert den Ton.',
    'strings.slide-overlap':
      'Wie lange ein Rutscher höchstens den alten Bund hält, wenn der neue schon gedrückt ist.',
    'strings.slide-gap':
      'Wie lange ein Rutscher die Saite zwischen zwei Bünden höchstens verlässt.',
    'strings.ring': 'Wie lange eine leere Saite klingt.',
    'strings.damp-by-fret':
      'Ein Bund, der auf einer klingenden leeren Saite gedrückt wird, beendet ihren Ton.',
    'strings.damp-by-hold':
      'Ein Zupffeld, das nach dem Zupfen so lange gehalten wird, beendet den Ton.',
    'strings.late-fret':
      'Ein Bund, der höchstens so lange nach dem Zupfen kommt, war dafür gemeint.',
    'strings.wait-for-fret':
      'Ob ein Zupfer auf einen späten Bund wartet; oft: solange der Spieler häufig spät ist.',
    'strings.early-lift':
      'Ein Bund, den noch kein Zupfer gebraucht hat, zählt so lange nach dem Loslassen noch.',
    'strings.resting-thumb':
      'Ein Finger, der länger als so auf dem Weg zum Zupffeld zu sehen ist, ruht dort nur.',
    'strings.brush':
      'Ein schwacher Zupfer neben einem festen wartet so lange und entfällt, wenn er dann vorbei ist.',
    'strings.brush-share': 'Wie schwach: weniger als dieser Anteil vom Pegel des anderen Zupfers.',
    'keys.ring-on': 'Wie lange eine Taste nachklingt, wenn der Finger fort ist.',
    'holes.settle': 'Wie lange die Finger zur Ruhe gekommen sein müssen, bis ein Griff zählt.',
    'holes.mouth-waits':
      'Eine Berührung des Munds wartet auch auf Finger, die gleich danach kommen.',
    'holes.unknown': 'Was ein Griff, der nicht in der Tabelle steht, mit dem klingenden Ton macht.',
    'hits.mask': 'Wie lange ein getroffenes Schlagfeld für weitere Schläge taub ist.',
    'hits.ring': 'Wie lange ein Schlag dauert, bei Klängen, die erst ein Ende beendet.',
    'voices.most': 'Wie viele Töne eines Instruments zugleich klingen.',
    'voices.keep': 'Welche Töne bleiben, wenn es mehr sind.',
  },
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
