import type { seat as english } from '../en/seat.js';
import { seatRules } from './seat-rules.js';

const plural = (count: number, one: string, many: string): string =>
  `${String(count)} ${count === 1 ? one : many}`;

/** Die Ansicht eines Platzes. */
export const seat: typeof english = {
  rules: seatRules,
  title: (name) => `Platz ${name}`,
  from: (words) => `Messwerte kommen von: ${words}`,
  loading: 'Warte auf den Raum …',
  parts: 'Auf dieser Seite',
  unknown: {
    what: (number) => `Dieser Raum hat keinen Platz ${String(number)}`,
    next: 'Geh zurück zum Raum und wähle einen seiner Plätze.',
  },
  plugged: {
    waiting: 'noch nicht gehört',
    here: 'eingesteckt',
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
    level: 'Pegel',
    nothing: 'Von diesem Instrument kam noch nichts.',
  },
  pads: {
    heading: 'Felder',
    help: 'Was sich zeigt, während die Felder berührt werden. Berühre jedes einmal fest, eines nach dem anderen.',
    grades: {
      good: 'gut',
      weak: 'schwach',
      bad: 'schlecht',
      unheard: 'nicht gehört',
    },
    none: 'Noch kein Urteil: Berühre jedes Feld einmal.',
    count: {
      good: (count) => `${String(count)} gut`,
      weak: (count) => `${String(count)} schwach`,
      bad: (count) => `${String(count)} schlecht`,
      unheard: (count) => `${String(count)} noch nicht gehört`,
    },
    allGood: 'Alle Felder sind gut.',
    mend: 'Anzusehen',
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
    ratio: (ratio) => `Signal zu Rauschen ${ratio} zu 1`,
    what: 'Was nicht stimmt',
    cause: 'Wahrscheinlich weil',
    next: 'Als Nächstes',
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
    doneList: (count) => `Fertig: ${plural(count, 'Feld', 'Felder')}`,
    nothingToUndo: 'Noch ist kein Feld fertig.',
    file: (file) => `Gespeichert als ${file}, und gilt ab jetzt.`,
    unfit: (count) => `${plural(count, 'Feld ist', 'Felder sind')} noch nicht brauchbar:`,
    allFit: 'Alle Felder sind brauchbar.',
    next: 'Als Nächstes:',
    unchanged: 'Nichts wurde geändert: Der Platz spielt wie zuvor.',
    drawingPlain: 'Zeichnung des Instruments.',
    drawing: (pad) => `Zeichnung des Instruments; ${pad} ist markiert.`,
  },
  record: {
    heading: 'Aufnahme',
    help: 'Eine Aufnahme enthält, was die Felder messen: Man kann sie ansehen und mit anderen Regeln noch einmal ablaufen lassen.',
    begin: 'Diesen Platz aufnehmen',
    end: 'Aufnahme beenden',
    on: 'Nimmt auf',
    ofRoom: 'Der ganze Raum wird aufgenommen.',
    ofOther: (name) => `Platz ${name} wird aufgenommen; es geht nur eine Aufnahme auf einmal.`,
    elapsed: 'Zeit',
    scans: 'Abtastungen',
    file: 'Datei',
    done: 'Aufgenommen',
    writing: 'Die Datei wird fertig geschrieben …',
    open: (name) => `${name} ansehen`,
    guest: 'Ein Gast kann nicht aufnehmen.',
  },
};
