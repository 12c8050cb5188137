import { printedOrder } from '../../../instrument/instrument-pads.js';
import { padNames } from '../../../instrument/pad-names.js';
import { unfitWords } from '../../../calibration/words.js';
import { touchLog } from '../../../wiring/touch-log.js';
import { unfitOf, wiredBuild } from '../../../wiring/build.js';
import { GRACE, type Answer, type WireNotice } from '../../../wiring/notice.js';
import { wireSession } from '../../../wiring/session.js';
import { CALIBRATION_WORDS, wireWords, type WireTalk } from '../../../wiring/words.js';
import type { GuidedSeat } from './guides.js';
import {
  ALL_DONE,
  guideClock,
  LET_GO_FIRST,
  NOTHING_BACK,
  passing,
  sentences,
  TOUCHES_KEPT,
  type GuideEnd,
  type Guiding,
  type View,
} from './guiding.js';

const SKIPPED = {
  what: 'it was skipped, so it has no input and does not play',
  next: 'Fix its wire, then learn the wiring again.',
};
const NOTHING_KEPT = 'No pad has its input yet, so there is nothing to keep.';

/** Asks for one pad after the other in the printed order, and learns which input each is. */
export function wireGuide({ instrument, pads: plan }: GuidedSeat): Guiding {
  const order = printedOrder(instrument);
  const names = padNames(instrument);
  const log = touchLog(TOUCHES_KEPT);
  const talk: WireTalk = { names, by: 'buttons', live: true };
  // The pads are asked for in their order, so that these are the answers to the first ones of it.
  const answers: Answer[] = [];
  let phase: View['phase'] = 'letting-go';
  let words = sentences('Let go of all pads');
  let asked: number | null = null;
  let end: GuideEnd | null = null;

  const ways = { order, grace: GRACE, anyHold: false, reminders: true };
  const session = wireSession(plan, ways, guideClock(), told, log);

  function told(notice: WireNotice): void {
    switch (notice.type) {
      case 'kept':
        finish();
        return;
      case 'left':
        return;
      case 'wired':
        answers.push({ pad: notice.pad, input: notice.input });
        break;
      case 'skipped':
        answers.push({ pad: notice.pad, input: null });
        break;
      case 'back':
        // A hold takes back what was skipped after the pad, too.
        if (notice.answer) answers.length = order.indexOf(notice.answer.pad);
        break;
      case 'lost':
        phase = 'letting-go';
        break;
      case 'ask':
        phase = 'touching';
        break;
      default:
        break;
    }
    asked = notice.ask?.pad ?? null;
    const said = wireWords(notice, talk);
    words = sentences(said?.what, said?.next);
  }

  function finish(): void {
    const unclear = [] as const;
    const made = wiredBuild(
      { type: 'kept', answers, unclear, onlyChanges: log.onlyChanges },
      log.scans,
      plan,
      plan.build,
    );
    const wired = answers.filter(({ input }) => input !== null);
    if (wired.length === 0) {
      end = { fault: 'Every pad was skipped, so nothing was written.' };
      return;
    }
    const left = order.filter((pad) => !wired.some((one) => one.pad === pad));
    end = {
      build: made.build,
      words: sentences(
        `${String(wired.length)} of ${String(order.length)} pads have their input`,
        CALIBRATION_WORDS[made.calibration],
      ),
      unfit: [
        ...left.map((pad) => ({ pad, ...SKIPPED })),
        ...unfitOf(made).map((one) => ({ pad: one.pad, ...unfitWords(one) })),
      ],
    };
  }

  return {
    order,
    next(event) {
      if (!end) session.next(event);
    },
    tick(t) {
      if (!end) session.next(passing(t));
    },
    step(step, t) {
      const all = answers.length === order.length;
      if (step === 'keep') {
        if (answers.every(({ input }) => input === null)) return NOTHING_KEPT;
        finish();
        return null;
      }
      if (step === 'skip' && phase === 'letting-go') return LET_GO_FIRST;
      if (step === 'skip' && all) return ALL_DONE;
      if (step === 'undo' && answers.length === 0 && phase === 'letting-go') return NOTHING_BACK;
      session.next({ type: 'key', t, key: step === 'undo' ? 'back' : 'skip' });
      return null;
    },
    get view(): View {
      const unfit = answers.flatMap(({ pad, input }) =>
        input === null ? [{ pad, ...SKIPPED }] : [],
      );
      return { phase, words, asked, done: answers.map(({ pad }) => pad), unfit };
    },
    get touchedLast() {
      return log.touchedLast;
    },
    get end() {
      return end;
    },
  };
}
