/** What kinds of work a next step may bring: heat burns, blades and copper edges cut. */
export interface Care {
  readonly heat: boolean;
  readonly blade: boolean;
}

const HEAT = /solder|glue|joint|short circuit/i;
const BLADE = /\bcut|blade|edges|\bgap\b|tape|cover|larger|shorter|shorten/i;

/** Which cautions belong beside these next steps, which are the service's own, in English. */
export function careFor(steps: readonly string[]): Care {
  return {
    heat: steps.some((step) => HEAT.test(step)),
    blade: steps.some((step) => BLADE.test(step)),
  };
}
