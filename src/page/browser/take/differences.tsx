import { useSignal } from '@preact/signals';
import { useEffect, useRef } from 'preact/hooks';
import { begin } from '../../../compare/match.js';
import type { Numbered } from '../../../compare/run.js';
import { Button } from '../parts/button.js';
import { Choice } from '../parts/choice.js';
import { texts } from '../texts/texts.js';
import type { Result } from './desk/messages.js';
import { WHICH, type Looking, type Which } from './looking.js';
import { pitchOf, placeOfNote } from './names.js';
import { Table } from './parts/table.js';
import { timeIn } from './telling.js';

/** More rows than these are made only when they are asked for. */
const MOST = 100;

interface DifferencesProps {
  readonly result: Result;
  readonly looking: Looking;
  /** A row was chosen: its place is to be shown. */
  readonly onGo: (one: Numbered) => void;
}

/** Every difference as a row that leads to its place. */
export function Differences({ result, looking, onGo }: DifferencesProps) {
  const t = texts.value.take.differences;
  const listed = looking.listed.value;
  const most = useSignal(MOST);
  const current = listed.findIndex(({ number }) => number === looking.current.value);
  const shown = listed.slice(0, Math.max(most.value, current + 1));
  const any = result.notes.some(({ changes }) => changes.length > 0);
  const { columns } = t;
  return (
    <section class="sheet stack" aria-labelledby="take-differences">
      <h3 id="take-differences">{t.heading}</h3>
      {any ? (
        <div class="row">
          <Choice
            label={t.which}
            value={looking.which.value}
            options={Object.keys(WHICH).map((value) => ({
              value,
              words: t.whichOf[value as Which],
            }))}
            onChoose={(value) => {
              looking.which.value = value as Which;
              most.value = MOST;
            }}
          />
          <output>{t.count(listed.length)}</output>
        </div>
      ) : null}
      {listed.length === 0 ? (
        <p>{any ? t.noneOf : t.none}</p>
      ) : (
        <Table
          name={{ id: 'take-differences' }}
          columns={[
            ...[columns.number, columns.time, columns.where, columns.a, columns.b],
            ...[columns.what, ...(result.judged ? [columns.right] : [])],
          ]}
          tall
        >
          {shown.map((one) => (
            <Difference
              key={one.number}
              numbered={one}
              result={result}
              current={one.number === looking.current.value}
              onGo={onGo}
            />
          ))}
        </Table>
      )}
      {shown.length < listed.length ? (
        <div class="row">
          <Button
            onPress={() => {
              most.value += MOST;
            }}
          >
            {t.more(Math.min(MOST, listed.length - shown.length))}
          </Button>
        </div>
      ) : null}
    </section>
  );
}

interface DifferenceProps {
  readonly numbered: Numbered;
  readonly result: Result;
  readonly current: boolean;
  readonly onGo: (one: Numbered) => void;
}

function Difference({ numbered, result, current, onGo }: DifferenceProps) {
  const all = texts.value;
  const t = all.take.differences;
  const { one, number } = numbered;
  const { instrument, judged } = result;
  const row = useRef<HTMLTableRowElement>(null);
  useEffect(() => {
    // Only the list scrolls: the picture is what somebody looks at.
    const list = row.current?.closest('.take-tall');
    if (!current || !row.current || !list) return;
    const { offsetTop, offsetHeight } = row.current;
    if (
      offsetTop < list.scrollTop ||
      offsetTop + offsetHeight > list.scrollTop + list.clientHeight
    ) {
      list.scrollTop = offsetTop - list.clientHeight / 3;
    }
  }, [current]);
  const time = timeIn(all, begin(one), 3);
  const sound = (note: typeof one.a): string =>
    note ? `${pitchOf(note.note, instrument, all)} ${String(note.velocity)}` : '–';
  const verdict = judged?.verdicts[result.notes.indexOf(one)];
  return (
    <tr ref={row} aria-current={current ? 'true' : undefined}>
      <td>{number}</td>
      <td>
        <button
          type="button"
          class="take-go"
          aria-label={t.go(number, time)}
          onClick={() => {
            onGo(numbered);
          }}
        >
          {time}
        </button>
      </td>
      <td>{placeOfNote(one.a ?? one.b, instrument, all)}</td>
      <td>{sound(one.a)}</td>
      <td>{sound(one.b)}</td>
      <td class="take-words">{t.changes(one, instrument)}</td>
      {judged ? <td>{verdict ? t.verdict(verdict) : ''}</td> : null}
    </tr>
  );
}
