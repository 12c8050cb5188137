import { Status } from '../../parts/status.js';
import { texts } from '../../texts/texts.js';
import type { Fault, Note } from '../desk/messages.js';

interface FaultBoxProps {
  readonly fault: Fault;
  /** The take's name, for commands. */
  readonly take: string;
}

/** What is wrong and what to do next. */
export function FaultBox({ fault, take }: FaultBoxProps) {
  const { what, next, english = false } = texts.value.take.fault(fault, take);
  return (
    <div class="take-fault stack" role="alert">
      <Status standing="bad">
        <span {...(english ? { lang: 'en' } : {})}>{what}</span>
      </Status>
      {next === '' ? null : (
        <p {...(english && fault.kind === 'words' ? { lang: 'en' } : {})}>{next}</p>
      )}
    </div>
  );
}

/** What was passed over. */
export function Notes({ notes }: { readonly notes: readonly Note[] }) {
  if (notes.length === 0) return null;
  return (
    <ul class="take-notes">
      {notes.map((note, i) => (
        <li key={i}>
          <Status standing="warn">{texts.value.take.note(note)}</Status>
        </li>
      ))}
    </ul>
  );
}
