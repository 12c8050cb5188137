import { useEffect, useState } from 'preact/hooks';
import type { Connection } from '../../connection.js';
import { texts } from '../../texts/texts.js';
import type { PadVerdict, PageSeat } from '../../../link/state.js';
import { levelWord } from './level-words.js';
import { VerdictWord } from './verdict.js';

interface PadsTableProps {
  readonly connection: Connection;
  readonly of: PageSeat;
  /** The pads in the order in which the instrument is printed. */
  readonly order: readonly number[];
  readonly verdicts: readonly PadVerdict[];
}

/** The levels in words, as often as a person can read them; nobody is told of every change. */
const EVERY = 1000;

/** All pads as words: how they are now, and what is to be said of them. */
export function PadsTable({ connection, of, order, verdicts }: PadsTableProps) {
  const now = useLevels(connection, of.slice);
  const words = texts.value.seat.pads;
  const grades = new Map(verdicts.map(({ pad, grade }) => [pad, grade]));
  return (
    <table class="seat-pads">
      <caption class="unseen">{words.table}</caption>
      <thead>
        <tr>
          <th scope="col">{words.columns.pad}</th>
          <th scope="col">{words.columns.level}</th>
          <th scope="col">{words.columns.verdict}</th>
        </tr>
      </thead>
      <tbody>
        {order.map((pad) => (
          <tr key={pad}>
            <th scope="row">{of.padNames[pad]}</th>
            <td>
              {now?.touched[pad] === 1 ? <strong>{words.touched}</strong> : words.free},{' '}
              {words.levels[levelWord(now?.pads[pad] ?? 0)]}
            </td>
            <td>
              <VerdictWord grade={grades.get(pad) ?? 'unheard'} />
            </td>
          </tr>
        ))}
      </tbody>
    </table>
  );
}

interface Now {
  readonly pads: Uint8Array;
  readonly touched: Uint8Array;
}

/** A copy of the seat's levels, made once a second. */
function useLevels({ levels }: Connection, slice: number): Now | null {
  const [now, setNow] = useState<Now | null>(null);
  useEffect(() => {
    const look = (): void => {
      const at = levels.slices.get(slice);
      if (at) setNow({ pads: at.pads.slice(), touched: at.touched.slice() });
    };
    look();
    const timer = setInterval(look, EVERY);
    return () => {
      clearInterval(timer);
    };
  }, [levels, slice]);
  return now;
}
