// twin: fieldsheet/plan/curve.py
// A smooth curve through measured pairs that never overshoots them.

import { slopes, smooth } from "./joins.js";

/**
 * The curve at x through two or more pairs of rising x; beyond an end, that end's value.
 * @param {number[][]} pairs @param {number} x
 */
export function curveAt(pairs, x) {
  const last = pairs[pairs.length - 1];
  if (x <= pairs[0][0]) return pairs[0][1];
  if (x >= last[0]) return last[1];
  let k = 0;
  while (x > pairs[k + 1][0]) k += 1;
  const [[x0, y0], [x1, y1]] = [pairs[k], pairs[k + 1]];
  const at = slopes(
    pairs.map(([along]) => along),
    pairs.map(([, value]) => value),
  );
  return smooth((x - x0) / (x1 - x0), y0, y1, at[k], at[k + 1], x1 - x0);
}
