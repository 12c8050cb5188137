import { useSignal } from '@preact/signals';
import { useEffect, useRef } from 'preact/hooks';
import type { Connection } from '../../connection.js';
import { Button } from '../../parts/button.js';
import { Help } from '../../parts/help.js';
import { seatById } from '../../parts/seat-by-id.js';
import { linkTo } from '../../route.js';
import { texts } from '../../texts/texts.js';
import type { PageRecording } from '../../../link/state.js';
import { Refused, useAsking } from '../asking.js';
import { takeOf } from './finished.js';
import { Running } from './running.js';

interface RecordSectionProps {
  readonly connection: Connection;
  readonly seat: number;
}

/** Records what this seat's pads read, to a file. */
export function RecordSection({ connection, seat }: RecordSectionProps) {
  const words = texts.value.seat.record;
  const asking = useAsking(connection);
  const now = connection.state.recording.value;
  const finished = useFinished(now);
  const guest = connection.guest.value;
  const began = useRef(false);
  const press = (): void => {
    began.current = now === null;
    void asking.ask({ ask: 'record', seat: now ? now.seat : seat, do: now ? 'end' : 'begin' });
  };
  const other = now?.seat !== seat && now?.seat !== null ? now?.seat : undefined;
  const name = other === undefined ? '' : (seatById(connection, other)?.name ?? '');
  return (
    <section class="sheet stack" aria-labelledby="seat-record">
      <h3 id="seat-record" tabIndex={-1}>
        {words.heading}
      </h3>
      <Help>{words.help}</Help>
      {now?.seat === null ? <p>{words.ofRoom}</p> : null}
      {other === undefined ? null : <p>{words.ofOther(name)}</p>}
      {now ? <Running key={now.since} recording={now} fresh={began.current} /> : null}
      {guest ? <p class="soft">{words.guest}</p> : null}
      {guest ? null : (
        <div class="row">
          {/* One button, so that the focus stays on it. */}
          <Button onPress={press} look={now ? 'danger' : 'plain'}>
            {now ? words.end : words.begin}
          </Button>
        </div>
      )}
      <p role="status">
        {now === null && finished !== null ? (
          <Finished file={finished} connection={connection} />
        ) : null}
      </p>
      <Refused asking={asking} />
    </section>
  );
}

function Finished({
  file,
  connection,
}: {
  readonly file: string;
  readonly connection: Connection;
}) {
  const words = texts.value.seat.record;
  const take = takeOf(file, connection.state.takes.value ?? []);
  if (!take) return <>{words.writing}</>;
  return (
    <>
      {words.done}: <a href={linkTo({ view: 'take', name: take.name })}>{words.open(take.name)}</a>
    </>
  );
}

/** The file of the recording that ended while this page was open; null: none did. */
function useFinished(now: PageRecording | null): string | null {
  const ended = useSignal<string | null>(null);
  const before = useRef<PageRecording | null>(now);
  useEffect(() => {
    if (before.current && !now) ended.value = before.current.file;
    before.current = now;
  }, [now]);
  return ended.value;
}
