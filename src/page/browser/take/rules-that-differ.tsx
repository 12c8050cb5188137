import { texts } from '../texts/texts.js';
import type { Result } from './desk/messages.js';
import { Table } from './parts/table.js';

/** Which keys of the two rule sets differ, and what each does. */
export function RulesThatDiffer({ rules }: Pick<Result, 'rules'>) {
  const t = texts.value.take.rules;
  const { labels, about } = texts.value.seat.rules;
  const { columns } = t;
  return (
    <section class="sheet stack" aria-labelledby="take-rules">
      <h3 id="take-rules">{t.heading}</h3>
      {rules.length === 0 ? (
        <p>{t.none}</p>
      ) : (
        <Table
          name={{ id: 'take-rules' }}
          columns={[columns.key, columns.a, columns.b, columns.about]}
        >
          {rules.map((one) => (
            <tr key={one.key} class={one.matters ? '' : 'soft'}>
              <th scope="row">
                {labels[one.key] ?? one.key} <code>{one.key}</code>
              </th>
              <td>{one.a}</td>
              <td>{one.b}</td>
              <td class="take-words">
                {one.matters ? null : <>{t.idle} </>}
                {about[one.key] ?? <span lang="en">{one.about}</span>}
              </td>
            </tr>
          ))}
        </Table>
      )}
    </section>
  );
}
