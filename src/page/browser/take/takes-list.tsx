import type { Connection } from '../connection.js';
import { Help } from '../parts/help.js';
import { linkTo } from '../route.js';
import { language, texts } from '../texts/texts.js';
import { Table } from './parts/table.js';

/** All takes that the service has, the latest first. */
export function TakesList({ connection }: { readonly connection: Connection }) {
  const { list } = texts.value.take;
  const takes = connection.state.takes.value;
  if (takes === null) return <p>{list.waiting}</p>;
  if (takes.length === 0) return <p>{list.none}</p>;
  const time = new Intl.DateTimeFormat(language.value, { dateStyle: 'medium', timeStyle: 'short' });
  const { columns } = list;
  return (
    <>
      <Help>{list.help}</Help>
      <Table
        name={{ words: list.heading }}
        columns={[columns.name, columns.at, columns.of, columns.size]}
      >
        {[...takes]
          .sort((a, b) => b.at - a.at)
          .map(({ name, at, bytes, room }) => (
            <tr key={name}>
              <th scope="row">
                <a class="take-link" href={linkTo({ view: 'take', name })}>
                  {name}
                </a>
              </th>
              <td>{time.format(at)}</td>
              <td>{room ? list.room : list.seat}</td>
              <td>{list.size(bytes)}</td>
            </tr>
          ))}
      </Table>
    </>
  );
}
