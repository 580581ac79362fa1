// twin: fieldsheet/plan/joins.py
// How a rig runs from keyframe to keyframe: straight, or in a smooth curve that keeps their shape.

/** The curve's slope at each of two or more keyframes. @param {number[]} knots ascending @param {number[]} values */
export function slopes(knots, values) {
  const ways = knots.slice(1).map((knot, k) => knot - knots[k]);
  const rises = ways.map((way, k) => (values[k + 1] - values[k]) / way);
  if (rises.length === 1) return [rises[0], rises[0]];
  const inside = rises.slice(1).map((rise, k) => slopeInside(ways[k], ways[k + 1], rises[k], rise));
  const last = rises.length - 1;
  const first = slopeAtEnd(ways[0], ways[1], rises[0], rises[1]);
  return [first, ...inside, slopeAtEnd(ways[last], ways[last - 1], rises[last], rises[last - 1])];
}

/** @param {number} way @param {number} next_way @param {number} rise @param {number} next_rise */
function slopeInside(way, next_way, rise, next_rise) {
  if (rise * next_rise <= 0) return 0;
  const weight = 2 * next_way + way;
  const next_weight = next_way + 2 * way;
  return (weight + next_weight) / (weight / rise + next_weight / next_rise);
}

/** @param {number} way @param {number} next_way @param {number} rise @param {number} next_rise */
function slopeAtEnd(way, next_way, rise, next_rise) {
  const slope = ((2 * way + next_way) * rise - way * next_rise) / (way + next_way);
  if (slope * rise <= 0) return 0;
  if (rise * next_rise <= 0 && Math.abs(slope) > 3 * Math.abs(rise)) return 3 * rise;
  return slope;
}

/**
 * The value at a share (0 to 1) of the way between two keyframes.
 * @param {number} share @param {number} before @param {number} after
 */
export function straight(share, before, after) {
  return before + (after - before) * share;
}

/**
 * The same on the cubic with those slopes at its ends, `way` apart; never beyond the two values.
 * @param {number} share @param {number} before @param {number} after @param {number} slope @param {number} next_slope
 * @param {number} way
 */
export function smooth(share, before, after, slope, next_slope, way) {
  const rest = 1 - share;
  let value = before + (after - before) * share * share * (3 - 2 * share);
  value += way * share * rest * (slope * rest - next_slope * share);
  return Math.min(Math.max(value, Math.min(before, after)), Math.max(before, after));
}
