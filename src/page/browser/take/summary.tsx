import type { Score } from '../../../score/score.js';
import { SECOND } from '../../../time/micros.js';
import { texts } from '../texts/texts.js';
import type { Result, RunResult } from './desk/messages.js';
import { Table } from './parts/table.js';

/** All of it in a sentence, and both sides. */
export function Summary({ result }: { readonly result: Result }) {
  const all = texts.value.take;
  const t = all.summary;
  const { a, b, judged, instrument, length } = result;
  const side = (label: string, { name, notes }: RunResult, score: Score | undefined) => (
    <tr>
      <th scope="row">{label}</th>
      <td>{name}</td>
      <td>{t.count(notes)}</td>
      {score ? <td>{scored(score)}</td> : null}
    </tr>
  );
  const scored = ({ f, matched, missed, added }: Score): string =>
    t.scored(f, matched.length, matched.length + missed.length, added.length);
  return (
    <section class="sheet stack" aria-labelledby="take-summary">
      <h3 id="take-summary">{t.heading}</h3>
      <p class="take-headline" data-testid="headline">
        {t.headline(result.notes)}
      </p>
      <p class="soft">{t.of(instrument.name, all.seconds(length / SECOND, 1))}</p>
      <Table
        name={{ id: 'take-summary' }}
        columns={[t.side, t.rules, t.notes, ...(judged ? [t.score] : [])]}
      >
        {side('A', a, judged?.a)}
        {side('B', b, judged?.b)}
      </Table>
    </section>
  );
}
