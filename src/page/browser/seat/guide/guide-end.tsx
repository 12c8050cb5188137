import type { Connection } from '../../connection.js';
import { Button } from '../../parts/button.js';
import { texts } from '../../texts/texts.js';
import type { PageGuide, PageSeat } from '../../../link/state.js';
import type { Asking } from '../asking.js';
import { CareBox } from '../pads/care-box.js';

interface GuideEndProps {
  readonly connection: Connection;
  readonly asking: Asking;
  readonly of: PageSeat;
  readonly guide: PageGuide;
}

/** How it came out: where it was saved, which pads are not fit, and what to do about them. */
export function GuideEnd({ connection, asking, of, guide }: GuideEndProps) {
  const words = texts.value.seat.guide;
  const { seat, phase, unfit, file } = guide;
  const say = (what: 'begin' | 'end') => (): void => {
    void asking.ask({ ask: 'guide', seat, guide: guide.guide, do: what });
  };
  return (
    <div class="stack">
      <p lang="en">{guide.words}</p>
      {file === null ? null : <p>{words.file(file)}</p>}
      {phase === 'failed' && file === null ? <p>{words.unchanged}</p> : null}
      {phase === 'done' && unfit.length === 0 ? <p>{words.allFit}</p> : null}
      {unfit.length > 0 ? (
        <>
          <p>
            <strong>{words.unfit(unfit.length)}</strong>
          </p>
          <ul class="seat-findings">
            {unfit.map(({ pad, what, next }) => (
              <li key={pad} class="seat-finding">
                <p>
                  <strong>{of.padNames[pad]}</strong>: <span lang="en">{what}</span>
                </p>
                <p>
                  {words.next} <span lang="en">{next}</span>
                </p>
              </li>
            ))}
          </ul>
          <CareBox steps={unfit.map(({ next }) => next)} />
        </>
      ) : null}
      {connection.guest.value ? null : (
        <div class="row">
          <Button look="strong" onPress={say('end')}>
            {words.close}
          </Button>
          <Button onPress={say('begin')}>{words.again}</Button>
        </div>
      )}
    </div>
  );
}
