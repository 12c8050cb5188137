/** Work in small pieces: whoever has other things to do does them between two. */
export type Steps<Result> = Generator<undefined, Result, undefined>;

/** Does all of it at once. */
export function allSteps<Result>(steps: Steps<Result>): Result {
  for (;;) {
    const { done, value } = steps.next();
    if (done) return value;
  }
}
