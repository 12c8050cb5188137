import { effect, useSignal } from '@preact/signals';
import { useEffect, useId, useMemo, useRef } from 'preact/hooks';
import { texts } from '../texts/texts.js';
import { ask } from '../parts/ask.js';
import { silenced } from '../parts/silenced.js';
import { More, Help } from '../parts/help.js';
import type { Connection } from '../connection.js';
import type { PageSeat } from '../../link/state.js';
import { Board } from './board.js';
import { coloursNow, type Colours } from './colours.js';
import { draw } from './draw.js';
import { Holds } from './holds.js';
import { onFrame } from './loop.js';
import { noteLabel } from './pad-label.js';
import { paint } from './paint.js';
import { Pads } from './pads.js';
import type { Drawing } from './shapes.js';
import { Shown } from './shown.js';

interface InstrumentDrawingProps {
  readonly connection: Connection;
  readonly seat: PageSeat;
  /** A pad to point at, as a guide asks for it; null or left out: none. */
  readonly asked?: number | null;
  /** Pads with a tick. */
  readonly done?: readonly number[];
}

const NONE: readonly number[] = [];

/** A seat's instrument, with what is touched and what sounds; playable where the seat is played on the page. */
export function InstrumentDrawing(props: InstrumentDrawingProps) {
  const { connection, seat, asked = null, done = NONE } = props;
  const drawing = useMemo(() => draw(seat.instrument), [seat.instrument]);
  const canvas = usePainting(connection, seat, drawing);
  const playable = seat.screen && !connection.guest.value;
  const { holds, held } = useHolds(connection, seat.id, playable, seat.plugged === 'here');
  const help = useId();
  const t = texts.value.room;
  const label = playable
    ? t.playHere(seat.name)
    : t.drawing(seat.instrument.name, drawing.pads.length);
  const image = playable ? {} : ({ role: 'img', 'aria-label': label } as const);
  return (
    <div class="drawing-whole">
      <div class={`drawing${playable ? ' drawing-playable' : ''}`} {...image}>
        <Board drawing={drawing} />
        <canvas ref={canvas} aria-hidden="true" />
        <Pads
          {...{ drawing, asked, done, label, help }}
          holds={playable ? holds : null}
          held={held}
        />
      </div>
      {playable ? (
        <More summary={t.playHere(seat.name)}>
          <Help id={help}>
            {t.playHow[drawing.kind]} {t.playHelp}
          </Help>
        </More>
      ) : null}
    </div>
  );
}

/** Paints the canvas as the levels move, without drawing the page again. */
function usePainting(connection: Connection, seat: PageSeat, drawing: Drawing) {
  const { id, slice, strings } = seat;
  const canvas = useRef<HTMLCanvasElement>(null);
  useEffect(() => {
    const element = canvas.current;
    const pen = element?.getContext('2d');
    if (!element || !pen) return;
    const steady = matchMedia('(prefers-reduced-motion: reduce)').matches;
    const shown = new Shown(drawing.pads.length, strings, steady);
    let painted: Colours | null = null;
    let stale = true;
    const size = new ResizeObserver(([entry]) => {
      const scale = Math.min(2, devicePixelRatio);
      element.width = Math.round((entry?.contentRect.width ?? 0) * scale);
      element.height = Math.round(element.width * drawing.height);
      stale = true;
    });
    size.observe(element);
    // A drum is named on its pad already.
    const noteWords = (note: number): string =>
      drawing.kind === 'hits' ? '' : noteLabel(drawing.kind, note, texts.peek());
    const stop = onFrame(element, id, (now) => {
      const levels = connection.levels.slices.get(slice);
      const changed = levels !== undefined && shown.take(levels, now);
      const colours = coloursNow.peek();
      if (!changed && !stale && painted === colours) return;
      stale = false;
      painted = colours;
      paint(pen, { drawing, shown, colours, noteWords, width: element.width });
    });
    return () => {
      stop();
      size.disconnect();
    };
  }, [connection, id, slice, drawing, strings]);
  return canvas;
}

/** What is held on this drawing; all is let go of where the link is lost, the room is silenced or the unit is pulled out. */
function useHolds(connection: Connection, seat: number, playable: boolean, plugged: boolean) {
  const held = useSignal<ReadonlySet<number>>(new Set());
  const holds = useMemo(() => {
    const mark = (pad: number, on: boolean): void => {
      const next = new Set(held.peek());
      if (on) next.add(pad);
      else next.delete(pad);
      held.value = next;
    };
    return new Holds(
      (pad, strength) => {
        mark(pad, true);
        void ask(connection, { ask: 'press', seat, pad, strength });
      },
      (pad) => {
        mark(pad, false);
        void connection.ask({ ask: 'release', seat, pad });
      },
    );
  }, [connection, seat]);
  useEffect(
    () =>
      effect(() => {
        // Read, so that it is done again whenever the room is silenced.
        const count = silenced.value;
        if (connection.link.value !== 'open' || count > 0) holds.letGoAll();
      }),
    [connection, holds],
  );
  useEffect(() => {
    if (!playable || !plugged) holds.letGoAll();
  }, [holds, playable, plugged]);
  return { holds, held: held.value };
}
