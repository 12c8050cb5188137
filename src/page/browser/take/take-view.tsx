import type { Connection } from '../connection.js';

interface TakeViewProps {
  readonly connection: Connection;
  /** null: the list of all takes. */
  readonly name: string | null;
}

/** Takes: not there yet. */
export function TakeView({ name }: TakeViewProps) {
  return <p>{name}</p>;
}
