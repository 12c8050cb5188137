import { useEffect, useMemo, useRef } from 'preact/hooks';
import type { Connection } from '../../connection.js';
import { texts } from '../../texts/texts.js';
import type { PageSeat } from '../../../link/state.js';
import { VerdictMark } from '../pads/verdict.js';
import { Chart } from './chart.js';
import { LevelHistory } from './history.js';
import { Playhead } from './playhead.js';

interface StripProps {
  readonly connection: Connection;
  readonly of: PageSeat;
  readonly order: readonly number[];
  readonly frozen: boolean;
  readonly seconds: number;
}

/** One strip a pad, in the printed order, with its name: the latest is at the right. */
export function Strip({ connection, of, order, frozen, seconds }: StripProps) {
  const words = texts.value.seat.levels;
  const moving = useRef<HTMLCanvasElement>(null);
  const still = useRef<HTMLCanvasElement>(null);
  const chart = useRef<Chart | null>(null);
  const stopped = useRef(frozen);
  const { slice } = of;
  const pads = of.padNames.length;
  const history = useMemo(() => new LevelHistory(pads), [pads, slice]);
  const playhead = useMemo(() => new Playhead(), [slice]);

  useEffect(() => {
    if (!moving.current || !still.current) return;
    const parts = { moving: moving.current, still: still.current, history, playhead, order };
    const made = new Chart(parts);
    chart.current = made;
    return () => {
      made.close();
      chart.current = null;
    };
  }, [history, playhead, order]);

  useEffect(
    () =>
      connection.onHistory((rows) => {
        if (rows.slice !== slice) return;
        const last = rows.times.at(-1);
        if (last !== undefined) playhead.heard(last, performance.now());
        // What was frozen is still there to be looked at.
        if (!stopped.current) history.add(rows);
      }),
    [connection, slice, history, playhead],
  );

  useEffect(() => {
    chart.current?.show(seconds);
  }, [seconds, order, history]);

  useEffect(() => {
    if (stopped.current && !frozen) history.interrupt();
    stopped.current = frozen;
    chart.current?.freeze(frozen);
  }, [frozen, history, order]);

  useEffect(() => {
    if (of.plugged !== 'here') history.interrupt();
  }, [of.plugged, history]);

  return (
    <div class="seat-chart">
      {/* The table of the pads says the same to those who cannot see it. */}
      <ol class="seat-strips" aria-hidden="true">
        {order.map((pad) => (
          <li key={pad} class="seat-strip">
            <StripName
              connection={connection}
              slice={slice}
              pad={pad}
              name={of.padNames[pad] ?? ''}
            />
          </li>
        ))}
      </ol>
      <div class="seat-picture" role="img" aria-label={words.picture(seconds)}>
        <canvas ref={moving} class="seat-canvas" />
        <canvas ref={still} class="seat-canvas" />
      </div>
      <div class="seat-times soft" aria-hidden="true">
        <span>{words.ago(seconds)}</span>
        <span>{words.now}</span>
      </div>
    </div>
  );
}

interface StripNameProps {
  readonly connection: Connection;
  readonly slice: number;
  readonly pad: number;
  readonly name: string;
}

function StripName({ connection, slice, pad, name }: StripNameProps) {
  const told = connection.verdicts.value;
  const verdict = told?.slice === slice ? told.pads.find((one) => one.pad === pad) : undefined;
  return (
    <>
      <VerdictMark grade={verdict?.grade ?? 'unheard'} />
      <span>{name}</span>
    </>
  );
}
