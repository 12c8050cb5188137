import { Subject } from 'rxjs';
import { printedOrder } from '../../../instrument/instrument-pads.js';
import { padNames } from '../../../instrument/pad-names.js';
import { calibratePads } from '../../../calibration/calibrate.js';
import { progressWords, unfitWords } from '../../../calibration/words.js';
import { wiringOf } from '../../../pads/plan.js';
import { logged } from '../../../wiring/scan-log.js';
import { touchLog } from '../../../wiring/touch-log.js';
import { filledIn } from '../../../wiring/build.js';
import { GRACE } from '../../../wiring/notice.js';
import { watchInputs, type WatchEvent, type WireKey } from '../../../wiring/watch.js';
import { NEVER, type Micros } from '../../../time/micros.js';
import { through } from '../../../time/through.js';
import type { WireEvent } from '../../../wire/scan.js';
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

const HOW = 'Touch every pad once, firmly, one after the other';
const NOTHING_KEPT = 'No pad was touched yet, so there is nothing to keep.';
const LOST = 'The unit went away; what was learned so far is kept in mind';
const BACK = 'Let go of all pads until it is back';

/** Has every pad touched, in any order, and learns how each reads. The wiring is known. */
export function calibrateGuide({ instrument, pads: plan }: GuidedSeat): Guiding {
  const order = printedOrder(instrument);
  const names = padNames(instrument);
  const wiring = wiringOf(plan);
  const log = touchLog(TOUCHES_KEPT);
  const nameOf = (pad: number): string => names[pad] ?? `pad ${String(pad)}`;
  const events = new Subject<WireEvent | WireKey>();
  const answers: { readonly pad: number; readonly skipped: boolean }[] = [];
  let phase: View['phase'] = 'letting-go';
  let words = sentences('Let go of all pads');
  let end: GuideEnd | null = null;
  /** When what is learned is kept, unless something is touched or taken back before. */
  let due: Micros = NEVER;

  events
    .pipe(
      through<unknown, WireEvent | WireKey, WatchEvent>(
        logged(watchInputs(plan), log),
        guideClock(),
      ),
    )
    .subscribe(watched);

  const left = (): number[] => order.filter((pad) => !answers.some((one) => one.pad === pad));

  /** What happened, and what to do next. */
  function say(what: string, t: Micros): void {
    const still = left();
    const next =
      still.length > 0
        ? `Touch ${nameOf(still[0]!)}, or any other that is left`
        : 'All pads have had their turn. To take the last one back, press Undo; otherwise it is kept in a moment';
    words = sentences(what, next);
    due = still.length > 0 ? NEVER : t + GRACE;
  }

  const progress = (): string => progressWords(order.length, left().map(nameOf), HOW);

  function touched(input: number, t: Micros): void {
    const pad = wiring[input] ?? null;
    if (pad === null) {
      say(`Input ${String(input)} moved, but no pad is wired to it: learn the wiring first`, t);
      return;
    }
    const before = answers.findIndex((one) => one.pad === pad);
    if (before >= 0 && !answers[before]!.skipped) {
      say(`${nameOf(pad)} was touched already`, t);
      return;
    }
    if (before >= 0) answers.splice(before, 1);
    answers.push({ pad, skipped: false });
    say(left().length > 0 ? progress() : '', t);
  }

  function watched(event: WatchEvent): void {
    const { t } = event;
    switch (event.type) {
      case 'rested':
        phase = 'touching';
        say(progress(), t);
        return;
      case 'pressed':
        due = NEVER;
        return;
      case 'touched':
        touched(event.input, t);
        return;
      case 'unclear': {
        const [a, b] = event.inputs.map((input) => {
          const pad = wiring[input] ?? null;
          return pad === null ? `input ${String(input)}` : nameOf(pad);
        });
        say(`${a!} and ${b!} moved at once: touch one pad alone, with one finger`, t);
        return;
      }
      case 'stuck': {
        const pad = wiring[event.input] ?? null;
        const name = pad === null ? `Input ${String(event.input)}` : nameOf(pad);
        say(
          `${name} stays touched: let go of all pads; if nobody touches it, look for a short circuit`,
          t,
        );
        return;
      }
      case 'reset':
        if (event.why === 'lost') {
          phase = 'letting-go';
          words = sentences(LOST, BACK);
          due = NEVER;
        } else if (left().length === 0) due = t + GRACE;
        return;
      case 'freed':
        if (left().length === 0) due = t + GRACE;
        return;
      case 'held':
      case 'key':
        return;
    }
  }

  function finish(): void {
    const scans = log.onlyChanges ? filledIn(log.scans) : log.scans;
    const learned = calibratePads(scans, wiring, order.length, plan.full);
    const done = answers.filter(({ skipped }) => !skipped).map(({ pad }) => pad);
    const pads = Array.from({ length: order.length }, (_, pad) => {
      const old = plan.build?.pads[pad] ?? null;
      return done.includes(pad) ? (learned.pads[pad] ?? old) : old;
    });
    if (done.every((pad) => !learned.pads[pad])) {
      end = { fault: 'No pad could be calibrated, so nothing was written: begin again.' };
      return;
    }
    const notDone = order.filter((pad) => !done.includes(pad)).map((pad) => leftOut(pad));
    const unfit = learned.unfit
      .filter(({ pad, reason }) => done.includes(pad) && (reason === 'weak' || !pads[pad]))
      .map((one) => ({ pad: one.pad, ...unfitWords(one) }));
    const fit = done.length - unfit.length;
    end = {
      build: { wiring, pads },
      words: sentences(`${String(fit)} of ${String(order.length)} pads are fit`),
      unfit: [...notDone, ...unfit],
    };
  }

  function leftOut(pad: number): View['unfit'][number] {
    const old = plan.build?.pads[pad] ?? null;
    return {
      pad,
      what: old
        ? 'it was left out, so its old calibration stays'
        : 'it was left out, so it does not play',
      next: 'Calibrate again to learn it.',
    };
  }

  return {
    order,
    next(event) {
      if (!end) events.next(event);
    },
    tick(t) {
      if (end) return;
      events.next(passing(t));
      if (t >= due) finish();
    },
    step(step, t) {
      if (step === 'keep') {
        if (answers.every(({ skipped }) => skipped)) return NOTHING_KEPT;
        finish();
        return null;
      }
      if (step === 'undo') {
        const last = answers.pop();
        if (!last) return NOTHING_BACK;
        wiring.forEach((pad, input) => {
          if (pad === last.pad) log.forget(input);
        });
        if (phase === 'touching') say(`Taken back: ${nameOf(last.pad)}`, t);
        return null;
      }
      if (phase === 'letting-go') return LET_GO_FIRST;
      const pad = left()[0];
      if (pad === undefined) return ALL_DONE;
      answers.push({ pad, skipped: true });
      say(`${nameOf(pad)} is left out`, t);
      return null;
    },
    get view(): View {
      const unfit = answers.flatMap(({ pad, skipped }) => (skipped ? [leftOut(pad)] : []));
      const asked = phase === 'touching' ? (left()[0] ?? null) : null;
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
