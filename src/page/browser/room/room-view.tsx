import type { Connection } from '../connection.js';

interface RoomViewProps {
  readonly connection: Connection;
}

/** Every seat at a glance. */
export function RoomView({ connection }: RoomViewProps) {
  return (
    <ul>
      {connection.state.seats.value?.map(({ name }) => (
        <li key={name}>{name}</li>
      ))}
    </ul>
  );
}
