/** A thing on the left and one on the right that may go together, each counted from 0. */
export type Edge = readonly [left: number, right: number];

const NONE = -1;

/**
 * Pairs things off so that as many as possible have a partner, each used once: maximum bipartite
 * matching by the algorithm of Hopcroft and Karp (SIAM Journal on Computing 2(4), 1973; MEMORY), at
 * most of the order of edges · √things. There may be several such matchings: it starts from the
 * edges in the order given and only re-pairs where that brings another pair.
 *
 * @param edges the liked ones first
 * @returns the partner of each left thing, or -1
 */
export function maximumMatching(edges: readonly Edge[], lefts: number, rights: number): Int32Array {
  const next: number[][] = Array.from({ length: lefts }, () => []);
  const ofLeft = new Int32Array(lefts).fill(NONE);
  const ofRight = new Int32Array(rights).fill(NONE);
  for (const [left, right] of edges) {
    next[left]!.push(right);
    if (ofLeft[left] !== NONE || ofRight[right] !== NONE) continue;
    ofLeft[left] = right;
    ofRight[right] = left;
  }
  const layers = new Int32Array(lefts);
  while (layOut(next, ofLeft, ofRight, layers)) {
    const tried = new Int32Array(lefts);
    for (let left = 0; left < lefts; left++) {
      if (ofLeft[left] === NONE) augment(left, next, ofLeft, ofRight, layers, tried);
    }
  }
  return ofLeft;
}

/**
 * Counts how many re-pairings each left thing is away from one without a partner.
 *
 * @returns whether somewhere a right thing without a partner can be reached
 */
function layOut(
  next: readonly (readonly number[])[],
  ofLeft: Int32Array,
  ofRight: Int32Array,
  layers: Int32Array,
): boolean {
  const queue: number[] = [];
  layers.fill(NONE);
  ofLeft.forEach((right, left) => {
    if (right !== NONE) return;
    layers[left] = 0;
    queue.push(left);
  });
  let found = false;
  for (const left of queue) {
    for (const right of next[left]!) {
      const beyond = ofRight[right]!;
      if (beyond === NONE) found = true;
      else if (layers[beyond] === NONE) {
        layers[beyond] = layers[left]! + 1;
        queue.push(beyond);
      }
    }
  }
  return found;
}

/**
 * Looks for a way from a left thing without a partner, layer by layer, to a right one without, and
 * re-pairs along it. Keeps its own path: a run of thousands of repeated notes is one long way.
 */
function augment(
  from: number,
  next: readonly (readonly number[])[],
  ofLeft: Int32Array,
  ofRight: Int32Array,
  layers: Int32Array,
  tried: Int32Array,
): void {
  const path = [from];
  while (path.length > 0) {
    const left = path.at(-1)!;
    const right = next[left]![tried[left]!];
    if (right === undefined) {
      layers[left] = NONE;
      path.pop();
      continue;
    }
    tried[left]! += 1;
    const beyond = ofRight[right]!;
    if (beyond === NONE) {
      for (const one of path) {
        const partner = next[one]![tried[one]! - 1]!;
        ofLeft[one] = partner;
        ofRight[partner] = one;
        layers[one] = NONE;
      }
      return;
    }
    if (layers[beyond] === layers[left]! + 1) path.push(beyond);
  }
}
