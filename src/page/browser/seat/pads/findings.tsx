import { texts } from '../../texts/texts.js';
import type { PadVerdict } from '../../../link/state.js';
import { GRADES, VerdictWord } from './verdict.js';

/** One that was not touched yet, or not alone, is only not known: else all would look broken at first. */
export function isWrong({ grade, findings }: PadVerdict): boolean {
  return grade !== 'unheard' && grade !== 'heard' && findings.length > 0;
}

/** What is wrong with the pads, why, and what to do next, the worst first. */
export function Findings({ verdicts }: { readonly verdicts: readonly PadVerdict[] }) {
  const wrong = verdicts
    .filter(isWrong)
    .sort((a, b) => GRADES.indexOf(a.grade) - GRADES.indexOf(b.grade));
  if (wrong.length === 0) return null;
  const words = texts.value.seat.pads;
  return (
    <div class="stack">
      <h4>{words.fix}</h4>
      <ul class="seat-findings">
        {wrong.map((verdict) => (
          <li key={verdict.pad} class="seat-finding stack">
            <p class="seat-finding-head">
              <strong>{verdict.name}</strong> <VerdictWord grade={verdict.grade} />
            </p>
            {verdict.findings.map(({ what, cause, next }) => (
              <dl key={what} class="seat-finding-words">
                <dt>{words.what}</dt>
                <dd lang="en">{what}</dd>
                <dt>{words.cause}</dt>
                <dd lang="en">{cause}</dd>
                <dt>{words.next}</dt>
                <dd lang="en" class="seat-next">
                  {next}
                </dd>
              </dl>
            ))}
          </li>
        ))}
      </ul>
    </div>
  );
}
