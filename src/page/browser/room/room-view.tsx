import { useMemo } from 'preact/hooks';
import type { Connection } from '../connection.js';
import { useKeptPlace } from '../parts/kept-place.js';
import { goesOn } from '../seat/guide/guide-words.js';
import { texts } from '../texts/texts.js';
import { SeatTile, type SeatTileProps } from './seat-tile.js';
import { Together } from './together.js';

interface RoomViewProps {
  readonly connection: Connection;
}

/** From so many seats on, each takes less room. */
const MANY = 12;

/** Every seat at a glance. */
export function RoomView({ connection }: RoomViewProps) {
  const t = texts.value.room;
  const seats = connection.state.seats.value ?? [];
  const dense = seats.length > MANY;
  const guide = connection.state.guide.value;
  const place = useKeptPlace(seats.map(({ id }) => id));
  const solo = seats.some(({ mix }) => mix.solo);
  return (
    <div class="stack">
      <Together connection={connection} />
      <h2 ref={place.heading} tabIndex={-1}>
        {t.seats(seats.length)}
      </h2>
      <ul ref={place.list} class={`tiles${dense ? ' tiles-dense' : ''}`}>
        {seats.map((seat) => (
          <Tile
            key={seat.id}
            connection={connection}
            seat={seat}
            hushed={solo && !seat.mix.solo}
            dense={dense}
            guided={guide?.seat === seat.id && goesOn(guide) ? guide.guide : null}
          />
        ))}
      </ul>
    </div>
  );
}

/** Is drawn again only as its own seat changes: a class has 32 of them. */
function Tile({ connection, seat, hushed, dense, guided }: SeatTileProps) {
  return useMemo(
    () => <SeatTile {...{ connection, seat, hushed, dense, guided }} />,
    [connection, seat, hushed, dense, guided],
  );
}
