import type { Texts } from '../en.js';

export const shell: Texts['shell'] = {
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
  lostHelp:
    'Zu sehen ist, wie es zuletzt war. Gespielt wird auch ohne diese Seite. Bleibt das so, sehen Sie nach, ob pluckwork noch läuft und ob dieses Gerät im selben Netz ist.',
  refusedHelp:
    'Dieser Link öffnet die Seite nicht: Sein Schlüssel fehlt oder gilt nicht mehr. Lassen Sie sich den Link geben, den pluckwork beim Start ausgegeben hat, und öffnen Sie den.',
  ended:
    'Der Raum ist zu Ende: Es kommt nichts mehr. Starten Sie ihn wieder, dann folgt diese Seite von selbst.',
  guest: 'Sie sehen zu: Alles wird gezeigt, und mit diesem Link lässt sich nichts ändern.',
  waiting: 'Es wird auf den Raum gewartet …',
  notAsked:
    'Nicht getan: Gerade besteht keine Verbindung zu pluckwork. Versuchen Sie es noch einmal, sobald sie wieder da ist.',

  silence: 'Stille',
  silenceHelp: 'Beendet alles, was klingt, in jeder Klangquelle. Taste: Escape.',
  silenced: 'Still: Alles, was klang, ist beendet.',
  notSilenced: (why) =>
    `Nicht still: ${why} Ist es zu laut, drehen Sie den Lautsprecher selbst leiser.`,

  notices: 'Was geschehen ist',
  noNotices: 'Noch nichts.',
  noticeLevel: { info: 'Zur Kenntnis', warn: 'Bitte ansehen', error: 'Muss behoben werden' },
  noticeWhere: 'Wo',
  noticeNext: 'Was zu tun ist',
  olderNotices: (count) => `Ältere (${String(count)})`,
  andMore: (count) => (count === 1 ? 'Und noch eine Meldung.' : `Und ${String(count)} weitere.`),

  noSeat: (name) => `In diesem Raum gibt es keinen Platz namens ${name}.`,
  toRoom: 'Zurück zum Raum',
  broken:
    'Dieser Teil der Seite ist ausgefallen. Laden Sie die Seite neu; das Spielen berührt das nicht.',
};
