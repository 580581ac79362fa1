// twin: fieldsheet/plan/bands.py
// A ramp of exposure as a hand can turn it: few bands of even clicks along a curve. How: see the twin.

/** @typedef {{curve: number[], ladder: Rung[], turns: number[]}} Climb turns: the frames, from 0, at which the curve turns */

const DUE = 0.55;
const WITHIN = 1.05;

/**
 * The bands that cover every frame once; curve[n] is the rung, real and on the ladder, of frame n + 1.
 * @param {number[]} curve @param {Rung[]} ladder
 */
export function bands(curve, ladder) {
  const climb = { curve, ladder, turns: turnsOf(curve) };
  let rung = Math.floor(curve[0] + 0.5);
  const found = [{ at: 0, every: 1, clicks: 0, way: 1, before: rung }];
  for (let at = due(curve, 0, rung); at < curve.length; at = due(curve, at, rung)) {
    const way = curve[at] > rung ? 1 : -1;
    const [every, clicks] = longest(climb, at, rung, way);
    found.push({ at, every, clicks, way, before: rung });
    rung += way * clicks;
    at += every * clicks;
  }
  return found.map(({ at, every, clicks, way, before }, index) => {
    const last = found[index + 1]?.at ?? curve.length;
    return { first: at + 1, last, every, clicks, way, before, after: before + way * clicks };
  });
}

/** The frames (from 0) at which a curve turns. @param {number[]} curve */
function turnsOf(curve) {
  const steps = curve.slice(1).map((value, at) => value - curve[at]);
  return steps.flatMap((step, at) => (at > 0 && steps[at - 1] * step <= 0 && steps[at - 1] !== step ? [at] : []));
}

/**
 * The first frame from `at` on that is off the rung; the number of frames where none is.
 * @param {number[]} curve @param {number} at @param {number} rung
 */
function due(curve, at, rung) {
  let frame = at;
  while (frame < curve.length && Math.abs(curve[frame] - rung) <= DUE) frame += 1;
  return frame;
}

/**
 * [every, clicks] of the band that reaches farthest; of those to the end one that ends on the curve, the slowest.
 * @param {Climb} climb @param {number} at @param {number} rung @param {number} way
 */
function longest(climb, at, rung, way) {
  const { curve } = climb;
  const ends = Math.floor(curve[curve.length - 1] + 0.5);
  let best = [1, 1];
  let farthest = 2 * (at + 1);
  for (let every = 1; every === 1 || holds(climb, at, every, rung + way, way); every += 1) {
    const clicks = clicksOf(climb, at, every, rung, way);
    const reach = 2 * Math.min(at + every * clicks, curve.length) + (rung + way * clicks === ends ? 1 : 0);
    if (clicks > 0 && reach >= farthest) {
      best = [every, clicks];
      farthest = reach;
    }
    if (at + every >= curve.length) break;
  }
  return best;
}

/**
 * How many clicks of this spacing keep with the curve, on the control of the first; none for less than half its frames.
 * @param {Climb} climb @param {number} from @param {number} every @param {number} rung @param {number} way
 */
function clicksOf(climb, from, every, rung, way) {
  const { curve, ladder } = climb;
  const control = controlOf(ladder, rung, rung + way);
  let clicks = 0;
  for (let at = from; at < curve.length; at += every) {
    if (clicks > 0 && 2 * (curve.length - at) < every) break;
    const here = rung + way * (clicks + 1);
    if (here < 0 || here >= ladder.length || controlOf(ladder, here - way, here) !== control) break;
    if (!holds(climb, at, every, here, way)) break;
    clicks += 1;
  }
  return clicks;
}

/**
 * Whether a rung keeps with the curve for `every` frames and is wanted in some; a click a frame may also lag.
 * @param {Climb} climb @param {number} at @param {number} every @param {number} rung @param {number} way
 */
function holds({ curve, turns }, at, every, rung, way) {
  const last = Math.min(at + every, curve.length) - 1;
  const inside = turns.filter((turn) => turn >= at && turn < last);
  const offs = [at, last, ...inside].map((frame) => (curve[frame] - rung) * way);
  return offs.every((off) => Math.abs(off) <= WITHIN || (every === 1 && off > 0)) && Math.max(...offs) >= -DUE;
}

/**
 * Which of aperture (0), shutter (1) and ISO (2) differs between two neighbours on the ladder.
 * @param {Rung[]} ladder @param {number} rung @param {number} other
 */
export function controlOf(ladder, rung, other) {
  return [0, 1, 2].find((place) => ladder[rung][place] !== ladder[other][place]);
}
