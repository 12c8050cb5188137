import type { Connection } from '../../connection.js';
import { InstrumentDrawing } from '../../drawing/instrument-drawing.js';
import { Button } from '../../parts/button.js';
import { en } from '../../texts/en.js';
import { texts } from '../../texts/texts.js';
import type { PageGuide, PageSeat } from '../../../link/state.js';
import type { Asking } from '../asking.js';
import { moreWords, stepWords } from './guide-words.js';

interface GuideStepsProps {
  readonly connection: Connection;
  readonly asking: Asking;
  readonly of: PageSeat;
  readonly guide: PageGuide;
}

/** While it goes on: what is asked, on the drawing too, how far it is, and how to go back or stop. */
export function GuideSteps({ connection, asking, of, guide }: GuideStepsProps) {
  const words = texts.value.seat.guide;
  const { seat, phase, done, order, asked } = guide;
  const guest = connection.guest.value;
  const step = (what: 'undo' | 'skip' | 'keep' | 'end') => (): void => {
    void asking.ask({ ask: 'guide', seat, guide: guide.guide, do: what });
  };
  const more = moreWords(guide.words, stepWords(guide, of.padNames, en.seat.guide));
  const off = { undo: done.length === 0, skip: asked === null, keep: done.length === 0 };
  const saving = phase === 'saving';
  // Whoever is only half through is not to end it by mistake.
  const all = done.length === order.length;
  const press = (event: KeyboardEvent): void => {
    if (guest || saving || event.ctrlKey || event.altKey || event.metaKey || event.repeat) return;
    const key = event.key.toLowerCase();
    if (key === 'u' && !off.undo) step('undo')();
    if (key === 's' && !off.skip) step('skip')();
  };
  return (
    <div class="seat-steps" onKeyDown={press}>
      <div class="seat-said">
        {phase === 'letting-go' ? <p>{words.letGoMore}</p> : null}
        <p role="status" lang="en">
          {more}
        </p>
      </div>
      <InstrumentDrawing connection={connection} seat={of} asked={asked} done={done} />
      <div class="stack">
        <div class="seat-progress">
          <progress
            max={order.length}
            value={done.length}
            aria-label={words.progress(done.length, order.length)}
          />
          <span aria-hidden="true">{words.progress(done.length, order.length)}</span>
        </div>
        <p class="seat-silent">{words.silent}</p>
        {guest ? null : (
          <>
            <div class="row">
              <Button onPress={step('undo')} off={saving || off.undo} keys="U">
                {words.undo}
              </Button>
              <Button onPress={step('skip')} off={saving || off.skip} keys="S">
                {words.skip}
              </Button>
              <Button
                onPress={step('keep')}
                off={saving || off.keep}
                look={all ? 'strong' : 'plain'}
              >
                {words.keep}
              </Button>
              <Button onPress={step('end')} off={saving} look="danger">
                {words.end}
              </Button>
            </div>
            <p class="help">{words.keys}</p>
          </>
        )}
      </div>
    </div>
  );
}
