import type { takeFaults as english } from '../en/take-faults.js';

const COMMANDS = 'pluckwork compare TAKE --rules A --rules B';
const seconds = (t: number): string => `${(t / 1e6).toFixed(2).replace('.', ',')} s`;

export const takeFaults: typeof english = {
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
