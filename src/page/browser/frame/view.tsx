import { useEffect, useRef } from 'preact/hooks';
import { RoomView } from '../room/room-view.js';
import { route } from '../route.js';
import { NoSeat } from '../seat/no-seat.js';
import { SeatView } from '../seat/seat-view.js';
import { TakeView } from '../take/take-view.js';
import { texts } from '../texts/texts.js';
import { Guard } from './guard.js';
import type { Connection } from '../connection.js';

interface ViewProps {
  readonly connection: Connection;
}

/** What the address names. */
function View({ connection }: ViewProps) {
  const here = route.value;
  const t = texts.value.shell;
  const seats = connection.state.seats.value;
  if (here.view === 'takes') return <TakeView connection={connection} name={null} />;
  if (here.view === 'take')
    return <TakeView key={here.name} connection={connection} name={here.name} />;
  if (seats === null) return <p class="soft">{t.waiting}</p>;
  if (here.view === 'room') return <RoomView connection={connection} />;
  return <SeatByName key={here.name} connection={connection} name={here.name} />;
}

/** The seat with a name, whoever that is: one that leaves may come back. */
function SeatByName({ connection, name }: ViewProps & { readonly name: string }) {
  const was = useRef(false);
  const seat = connection.state.seats.value?.find((one) => one.name === name);
  if (!seat) return <NoSeat name={name} left={was.current} />;
  was.current = true;
  return <SeatView key={seat.id} connection={connection} of={seat} />;
}

/** The contents; another view takes the focus, so that screen readers read on there. */
export function Main({ connection }: ViewProps) {
  const element = useRef<HTMLElement>(null);
  const here = JSON.stringify(route.value);
  const before = useRef(here);
  useEffect(() => {
    if (before.current === here) return;
    before.current = here;
    element.current?.focus({ preventScroll: true });
    scrollTo(0, 0);
  }, [here]);
  return (
    <main id="main" ref={element} tabIndex={-1}>
      <Guard key={here}>
        <View connection={connection} />
      </Guard>
    </main>
  );
}
