import { Help } from '../parts/help.js';
import { texts } from '../texts/texts.js';
import type { Explained } from './desk/messages.js';
import { Notes } from './parts/said.js';
import { Table } from './parts/table.js';

/** What was read, what came of it, and what would have changed it. The words are the core's, in English. */
export function Answer({ answer }: { readonly answer: Explained }) {
  const t = texts.value.take.explain;
  const { pads, happenings, checked } = answer;
  return (
    <div class="stack" data-testid="answer">
      {t.english === '' ? null : <Help>{t.english}</Help>}
      <div class="take-answer stack" lang="en">
        {answer.answer.map((words) => (
          <p key={words}>{words}</p>
        ))}
      </div>
      <Notes notes={answer.said} />
      <h4>{t.pads}</h4>
      {pads.length === 0 ? <p>{t.noPads}</p> : null}
      {answer.limits === '' || pads.length === 0 ? null : (
        <p class="help">
          {t.limits} <span lang="en">{answer.limits}</span>.
        </p>
      )}
      <dl class="take-pads" lang="en">
        {pads.map(({ name, sentences }) => (
          <div key={name}>
            <dt>{name}</dt>
            {sentences
              .filter((words) => words !== '')
              .map((words) => (
                <dd key={words}>{words}</dd>
              ))}
          </div>
        ))}
      </dl>
      {happenings.length === 0 ? null : (
        <>
          <h4>{t.came}</h4>
          <dl class="take-pads" lang="en">
            {happenings.map(({ head, sentences }, i) => (
              <div key={i}>
                <dt>{head}</dt>
                {sentences.map((words) => (
                  <dd key={words}>{words}</dd>
                ))}
              </div>
            ))}
          </dl>
        </>
      )}
      {answer.sounding === '' ? null : (
        <p>
          {t.sounding} <span lang="en">{answer.sounding}</span>
        </p>
      )}
      {checked.length === 0 ? null : (
        <>
          <h4>{t.checked}</h4>
          <Help>{t.checkedHelp}</Help>
          <Table name={{ words: t.checked }} columns={[t.columns.rule, t.columns.words]}>
            {checked.map(({ rule, words }) => (
              <tr key={rule} lang="en">
                <th scope="row">
                  <code>{rule}</code>
                </th>
                <td class="take-words">{words}</td>
              </tr>
            ))}
          </Table>
        </>
      )}
    </div>
  );
}
