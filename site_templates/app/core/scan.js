// twin: fieldsheet/sky/scan.py
// Where a curve of time passes through zero, and where it turns near it: a scan, turning points, halving.

export const SCAN_S = 600;

const ZOOM_ROUNDS = 5; // each narrows tenfold: from 1200 s to 0.012 s
const ZOOM_STEPS = 20;
const HALVINGS = 26; // from 600 s to 0.00001 s, where the twin cuts into twenty six times

/** @typedef {(t_s: number) => number} Curve */
/** @typedef {{t_s: number, value: number}} Sample */

/**
 * Multiples of the step, from one before the window to one after it, as far as the sky reaches.
 * @param {Sky} sky @param {number} t0_s @param {number} t1_s @param {number} step_s
 */
export function scanSteps(sky, t0_s, t1_s, step_s) {
  const times_s = [];
  for (let step = Math.floor(t0_s / step_s) - 1; step <= Math.ceil(t1_s / step_s) + 1; step += 1) {
    const t_s = step * step_s;
    if (sky.covers(t_s, t_s)) times_s.push(t_s);
  }
  return times_s;
}

/**
 * The moments at which a curve comes to be at least 0, or ceases to be, ascending.
 * @param {Curve} curve
 * @param {number[]} times_s ascending
 * @param {number} near how far from 0 a step may lie beside a turning point beyond it
 * @param {boolean} upwards
 * @param {boolean} downwards
 * @returns {number[]}
 */
export function crossings(curve, times_s, near, upwards, downwards) {
  const samples = sampled(curve, times_s);
  const beyond = turningPoints(curve, samples, near).filter(
    ({ turn, beside }) => turn.value >= 0 !== beside.value >= 0,
  );
  const all = [...samples, ...beyond.map(({ turn }) => turn)].sort((a, b) => a.t_s - b.t_s);
  const moments = [];
  for (let index = 1; index < all.length; index += 1) {
    const [from, to] = [all[index - 1], all[index]];
    const up = to.value >= 0;
    if (up !== from.value >= 0 && (up ? upwards : downwards)) {
      moments.push(halve((t_s) => curve(t_s) >= 0 === up, from.t_s, to.t_s));
    }
  }
  return moments;
}

/** @param {Curve} curve @param {number[]} times_s @returns {Sample[]} */
export function sampled(curve, times_s) {
  return times_s.map((t_s) => sampleAt(curve, t_s));
}

/**
 * Where a curve turns, beside samples less than near from 0, each with that sample.
 * @param {Curve} curve
 * @param {Sample[]} samples
 * @param {number} near
 * @returns {{turn: Sample, beside: Sample}[]}
 */
export function turningPoints(curve, samples, near) {
  const turns = [];
  for (let index = 1; index < samples.length - 1; index += 1) {
    const beside = samples[index];
    const [before, here, after] = [samples[index - 1].value, beside.value, samples[index + 1].value];
    const lowest = here <= before && here <= after;
    if (Math.abs(here) < near && (lowest || (here >= before && here >= after))) {
      const turn = zoom(curve, lowest ? 1 : -1, samples[index - 1].t_s, samples[index + 1].t_s);
      turns.push({ turn, beside });
    }
  }
  return turns;
}

/**
 * Where side * curve is least between two moments.
 * @param {Curve} curve @param {number} side @param {number} first_s @param {number} last_s
 */
function zoom(curve, side, first_s, last_s) {
  const lower = (/** @type {Sample} */ a, /** @type {Sample} */ b) => (b.value * side < a.value * side ? b : a);
  let from_s = first_s;
  let to_s = last_s;
  let best = sampleAt(curve, first_s);
  for (let round = 0; round < ZOOM_ROUNDS; round += 1) {
    const step_s = (to_s - from_s) / ZOOM_STEPS;
    best = sampled(curve, evenly(from_s, step_s)).reduce(lower);
    from_s = best.t_s - step_s;
    to_s = best.t_s + step_s;
  }
  return best;
}

/** @param {number} from_s @param {number} step_s */
function evenly(from_s, step_s) {
  return Array.from({ length: ZOOM_STEPS + 1 }, (_, step) => from_s + step_s * step);
}

/** @param {Curve} curve @param {number} t_s */
function sampleAt(curve, t_s) {
  return { t_s, value: curve(t_s) };
}

/**
 * The moment between two from which something has passed.
 * @param {(t_s: number) => boolean} passed @param {number} first_s @param {number} last_s
 */
export function halve(passed, first_s, last_s) {
  let from_s = first_s;
  let to_s = last_s;
  for (let halving = 0; halving < HALVINGS; halving += 1) {
    const middle_s = (from_s + to_s) / 2;
    if (passed(middle_s)) to_s = middle_s;
    else from_s = middle_s;
  }
  return (from_s + to_s) / 2;
}
