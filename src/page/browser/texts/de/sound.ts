import type { Texts } from '../en.js';

export const sound: Texts['sound'] = {
  heading: 'Klang auf diesem Gerät',
  about:
    'Dieses Gerät kann der Lautsprecher sein: Dann klingt hier alles, was im Raum gespielt wird.',
  turnOn: 'Auf diesem Gerät klingen lassen',
  turnOff: 'Ausschalten',
  opening: 'Wird vorbereitet …',
  caution:
    'Vor dem Einschalten: Stellen Sie dieses Gerät leise. Eine Person spielt so fest, wie sie kann, Sie stellen die Lautstärke so ein, dass es am nächsten Ohr angenehm ist, und erst dann spielen die anderen mit. Keine Kopf- oder Ohrhörer dafür.',
  states: {
    off: 'Aus: Auf diesem Gerät klingt nichts.',
    on: 'An: Auf diesem Gerät klingt der Raum.',
    waiting: 'An, aber still: Es besteht keine Verbindung zu pluckwork.',
    held: 'Der Browser hält den Klang zurück, bis Sie die Seite berühren.',
    hidden: 'Still, solange diese Seite verdeckt ist.',
    failed: 'Mehrmals ausgefallen und jetzt still. Schalten Sie aus und wieder ein.',
    closed: 'Aus: Auf diesem Gerät klingt nichts.',
  },
  resume: 'Klingen lassen',
  refused: (why) => `Der Raum kann hier nicht klingen: ${why}`,
  notHere: (why) =>
    `Dieser Browser kann den Raum nicht klingen lassen. Nehmen Sie einen anderen oder neueren. (${why})`,
  stay: 'Lassen Sie diese Seite im Blick und den Bildschirm an: Verdeckt ist sie still.',
  doubled: (names) =>
    `Auch eingeschaltet: ${names}. Zwei Lautsprecher in einem Raum klingen doppelt, einer etwas später. Schalten Sie den anderen in der Raumansicht aus, oder diesen hier.`,
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
      ? 'Es hat einmal ausgesetzt. Geschieht das wieder, schließen Sie andere Programme und Seiten auf diesem Gerät.'
      : `Es hat ${String(count)}-mal ausgesetzt. Schließen Sie andere Programme und Seiten auf diesem Gerät.`,
  ears: 'Wie laut ist zu laut?',
  earsText: [
    'Diese Zahlen gelten dem Signal, nicht dem Raum: Erst die Lautstärke des Geräts und der Lautsprecher machen Schalldruck daraus. Den zeigt nur ein Schallpegelmesser nahe am Ohr.',
    'Als Anhalt, für Geräte zum Hören unterwegs (ITU-T H.870): 80 dB(A) für Erwachsene und 75 dB(A) für Kinder, 40 Stunden in der Woche; je 3 dB mehr halbieren die Zeit. Bei der Arbeit: Ab 80 und 85 dB(A) über 8 Stunden ist etwas zu tun, 87 ist die Grenze (EU-Richtlinie 2003/10/EG).',
    'Die Regeln vor Ort und wer dafür geschult ist, gehen vor, vor allem wenn das Gehör von jemandem Rücksicht braucht. Machen Sie eine Pause, wenn Ohren klingeln oder Stimmen dumpf klingen, und vereinbaren Sie ein Zeichen für Stille.',
  ],
};
