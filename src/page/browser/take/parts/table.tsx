import type { ComponentChildren } from 'preact';

interface TableProps {
  /** What it is called: the id of its heading, or words. */
  readonly name: { readonly id: string } | { readonly words: string };
  readonly columns: readonly string[];
  /** Its rows. */
  readonly children: ComponentChildren;
  /** It scrolls by itself, with the columns' names in sight. */
  readonly tall?: boolean;
}

/** A table that scrolls sideways where the page is narrower, by keys too. */
export function Table({ name, columns, children, tall = false }: TableProps) {
  const named = 'id' in name ? { 'aria-labelledby': name.id } : { 'aria-label': name.words };
  return (
    <div class={`take-wide${tall ? ' take-tall' : ''}`} tabIndex={0} role="group" {...named}>
      <table class="take-table">
        <thead>
          <tr>
            {columns.map((column) => (
              <th key={column} scope="col">
                {column}
              </th>
            ))}
          </tr>
        </thead>
        <tbody>{children}</tbody>
      </table>
    </div>
  );
}
