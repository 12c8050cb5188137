import { LogicFault, type Logic, type LogicRun } from '../../../src/playing/own-logic-run.js';

/** What is thrown here says so, so that a fault that nobody meant shows. */
export const ON_PURPOSE = 'on purpose';

/**
 * A module of somebody's own that goes wrong in every way, always the same for the same events: it throws
 * what a module may throw, fails as no module should, answers nonsense, slurs at random, and arpeggiates
 * for as long as something is held.
 */
export function wildLogic(): Logic {
  return { file: 'wild.ts', begin: () => newRun() };
}

function newRun(): LogicRun {
  let held: number[] = [];
  const once = new Set<number>();
  return {
    again: () => {
      held = [];
    },
    end: () => undefined,
    step(event, { strings, pads }) {
      const { t } = event;
      // Once at each time: a wake-up and an event of one time must not go wrong for ever.
      if (t % 97 === 0 && !once.has(t)) {
        once.add(t);
        if (t % 2 === 0) throw new LogicFault(`it failed ${ON_PURPOSE}`, 'wild.ts', 'Fix it.');
        throw new Error(`it broke ${ON_PURPOSE}`);
      }
      if (t % 101 === 0) return { out: [{ type: 'on', string: 99, note: 1, strength: 2 }] };
      const out: object[] = [];
      const string =
        event.type === 'wake' ? held[t % Math.max(1, held.length)] : pads[event.pad]?.string;
      if (event.type === 'strike' && string !== undefined) held = [...held, string].slice(-5);
      if (event.type === 'lift') {
        held = held.filter((one) => one !== string);
        if (string !== undefined) out.push({ type: 'off', string });
      } else if (string !== undefined && event.type !== 'onset') {
        const note = Math.min(127, strings[string]!.note + (t % 5));
        out.push({ type: 'on', string, note, strength: (t % 100) / 100, slur: t % 3 === 0 });
      }
      return { out, wake: held.length > 0 ? t + 60_000 + (t % 7) : null };
    },
  };
}
