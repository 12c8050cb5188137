import type { Misfit } from './build-fit.js';

/** Names more pads than these nobody reads. */
const FEW = 4;

/** What a person reads of a build that does not fit. */
export interface MisfitWords {
  readonly what: string;
  readonly next: string;
}

const LEARNED =
  'Until then it plays with the wiring of the build, but calibrated as it starts: let go of all pads for a second.';
const SCALED = 'Until then it plays by the build on the scale of this board.';

/**
 * @param build the build's name
 * @param names of the pads
 * @param command what starts a command for this seat, such as `demo --seat north`
 */
export function misfitWords(
  misfit: Misfit,
  build: string,
  names: readonly string[],
  command: string,
): MisfitWords {
  const learn = (words: string): string => `"pluckwork ${words} ${command}"`;
  const renew = `${learn('wire')} learns its wiring and calibrates it; or take "build:" out of the room`;
  switch (misfit.kind) {
    case 'rests':
      return {
        what:
          `build "${build}" does not fit this unit: at rest, ${String(misfit.pads.length)} of ` +
          `${String(misfit.of)} pads read what they never can by that build`,
        next:
          'If another unit is plugged in here, name its own build in the room file. If it is the ' +
          `right unit, its wires were moved or its board was changed: ${renew}. ${LEARNED}`,
      };
    case 'scale':
      return {
        what: `build "${build}" does not fit this unit: ${timesWords(misfit.times)} what the build says`,
        next:
          "Check that the board's sketch reads as it did when it was calibrated, and " +
          `"full:" in the room file; then ${learn('calibrate')}. ${SCALED}`,
      };
    case 'range':
      return {
        what:
          `build "${build}" does not fit this unit: it holds readings beyond ${String(misfit.full)}, ` +
          'the highest that this board can send',
        next:
          'Set "full:" in the room file to what the board really sends; if it is right, ' +
          `${learn('calibrate')}. ${misfit.times === null ? LEARNED : SCALED}`,
      };
    case 'wires': {
      const list = misfit.pads.map((pad) => names[pad] ?? `pad ${String(pad)}`);
      const some = list.slice(0, FEW).join(', ');
      const more = list.length > FEW ? ` and ${String(list.length - FEW)} more` : '';
      return {
        what: `wires seem to have changed places since build "${build}" was made: ${some}${more}`,
        next: `Put the wires back, or ${learn('wire')} learns the wiring again. Until then these pads answer for each other or not at all`,
      };
    }
  }
}

function timesWords(times: number): string {
  if (times >= 1) return `at rest, its pads read about ${factor(times)} times`;
  return `at rest, its pads read about one ${factor(1 / times)}th of`;
}

const factor = (times: number): string => (times < 3 ? times.toFixed(1) : times.toFixed(0));
