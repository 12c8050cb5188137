import type { Connection } from '../../connection.js';
import { Help, More } from '../../parts/help.js';
import { texts } from '../../texts/texts.js';
import type { PadVerdict, PageSeat } from '../../../link/state.js';
import { CareBox } from './care-box.js';
import { Findings, isWrong } from './findings.js';
import { PadsTable } from './pads-table.js';
import { GRADES } from './verdict.js';
import { Status, type Standing } from '../../parts/status.js';

interface PadsSectionProps {
  readonly connection: Connection;
  readonly of: PageSeat;
  readonly order: readonly number[];
}

/** A plain verdict on each pad, with what to do about those that need it. */
export function PadsSection({ connection, of, order }: PadsSectionProps) {
  const words = texts.value.seat.pads;
  const told = connection.verdicts.value;
  const verdicts = told?.slice === of.slice ? told.pads : [];
  const steps = verdicts
    .filter(isWrong)
    .flatMap(({ findings }) => findings.map(({ next }) => next));
  return (
    <section class="sheet stack" aria-labelledby="seat-pads">
      <h3 id="seat-pads" tabIndex={-1}>
        {words.heading}
      </h3>
      <Help>{words.help}</Help>
      <Counts verdicts={verdicts} />
      <Untouched verdicts={verdicts} />
      <Findings verdicts={verdicts} />
      <CareBox steps={steps} />
      <More summary={words.table} open={roomy()}>
        <PadsTable {...{ connection, of, order, verdicts }} />
      </More>
    </section>
  );
}

/** Whether there is room for the table beside the levels, as seat.css has it; else it would push them away. */
function roomy(): boolean {
  return matchMedia('(min-width: 80rem)').matches;
}

const STANDING: Readonly<Record<PadVerdict['grade'], Standing>> = {
  good: 'good',
  weak: 'warn',
  bad: 'bad',
  heard: 'plain',
  unheard: 'plain',
};

/** How many are how, in one line that is read out when it changes. */
function Counts({ verdicts }: { readonly verdicts: readonly PadVerdict[] }) {
  const words = texts.value.seat.pads;
  const counts = GRADES.map((grade) => ({
    grade,
    count: verdicts.filter((verdict) => verdict.grade === grade).length,
  })).filter(({ count }) => count > 0);
  const allGood = verdicts.length > 0 && counts.every(({ grade }) => grade === 'good');
  return (
    <p class="row seat-counts">
      {verdicts.length === 0 ? words.none : null}
      {allGood ? <Status standing="good">{words.allGood}</Status> : null}
      {allGood
        ? null
        : counts.map(({ grade, count }) => (
            <Status key={grade} standing={STANDING[grade]}>
              {words.count[grade](count)}
            </Status>
          ))}
    </p>
  );
}

/** More names than these nobody reads. */
const FEW = 6;

/** Those that cannot be judged yet: all of them at first, which needs no list. */
function Untouched({ verdicts }: { readonly verdicts: readonly PadVerdict[] }) {
  const words = texts.value.seat.pads;
  const namesOf = (of: PadVerdict['grade']): string[] =>
    verdicts.filter(({ grade }) => grade === of).map(({ name }) => name);
  const [untouched, together] = [namesOf('unheard'), namesOf('heard')];
  const names = (list: readonly string[]): string | null =>
    list.length > FEW ? null : list.join(', ');
  return (
    <>
      {together.length > 0 ? <p>{words.together(names(together))}</p> : null}
      {untouched.length === 0 ? null : (
        <p>{untouched.length > FEW ? words.none : words.untried(untouched.join(', '))}</p>
      )}
    </>
  );
}
