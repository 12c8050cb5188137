import { texts } from '../texts/texts.js';
import type { Result } from './desk/messages.js';

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
        <div class="take-wide" tabIndex={0} role="group" aria-labelledby="take-rules">
          <table class="take-table">
            <thead>
              <tr>
                {[columns.key, columns.a, columns.b, columns.about].map((name) => (
                  <th key={name} scope="col">
                    {name}
                  </th>
                ))}
              </tr>
            </thead>
            <tbody>
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
            </tbody>
          </table>
        </div>
      )}
    </section>
  );
}
