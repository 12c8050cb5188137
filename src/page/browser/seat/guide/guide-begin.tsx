import type { Connection } from '../../connection.js';
import { Button } from '../../parts/button.js';
import { texts } from '../../texts/texts.js';
import type { PageSeat } from '../../../link/state.js';
import type { Asking } from '../asking.js';

interface GuideBeginProps {
  readonly connection: Connection;
  readonly asking: Asking;
  readonly seat: number;
  readonly of: PageSeat;
}

/** What can be begun, or why nothing can. */
export function GuideBegin({ connection, asking, seat, of }: GuideBeginProps) {
  const words = texts.value.seat.guide;
  if (!of.raw) return <p>{words.own}</p>;
  if (connection.guest.value) return <p class="soft">{words.guest}</p>;
  const heard = of.plugged === 'here';
  return (
    <>
      {heard ? null : <p>{words.unheard}</p>}
      <div class="seat-begin">
        {(['wire', 'calibrate'] as const).map((guide) => (
          <div key={guide} class="stack">
            <Button
              disabled={!heard}
              onPress={() => {
                void asking.ask({ ask: 'guide', seat, guide, do: 'begin' });
              }}
            >
              {words[guide].begin}
            </Button>
            <p class="help">{words[guide].about}</p>
          </div>
        ))}
      </div>
    </>
  );
}
