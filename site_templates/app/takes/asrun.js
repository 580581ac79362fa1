// How the rig runs, as it is seen to: from when frame 1 fired and from the frames that it was seen to show.
// "Frame n is showing at t" says t_n <= t < t_n+1; frame n fires at start + ratio x its time by the plan. The desk
// does the same: fieldsheet/exchange/asrun.py.

import { utcMs } from "../core/pace.js";

const SLACK_MS = 1000; // a tap, and the second to which a start is kept
const MOST_COUNTS = 60; // the newest: no night has more, and a log that was made up must not stop the page
const WITH_START = [0.5, 2]; // a gap keyed in as an interval may well double it; as far as a plan follows
const WITHOUT_START = [0.8, 1.25]; // two counts alone, one of them mistyped, would give anything

/**
 * @typedef {{start_ms: number, ratio: number}} Run frame 1 fired then; the true interval is ratio times the planned one
 * @typedef {{frame: number, utc_ms: number, key?: string}} Count
 * @typedef {{run: Run, span: number[] | null, odd: Count[]}} Judged
 *   span: the least and the greatest ratio that the counts leave, null where nothing says that it is not 1;
 *   odd: counts that fit none of the others, and are not used
 * @typedef {{a: number, b: number}} Bound of the start: start + ratio x a is at most, or at least, b
 */

/**
 * The run that turns a plan into what the rig does; null where that is the plan itself, or nothing has fired.
 * @param {Paced} timing the plan's, as the rig was told it @param {number | null} fired_ms @param {Count[]} counts
 * @returns {Run | null}
 */
export function runOf(timing, fired_ms, counts) {
  if (fired_ms === null) return null;
  const { run } = judged(timing, fired_ms, counts);
  return run.start_ms === timing.segments[0].start_ms && run.ratio === 1 ? null : run;
}

/**
 * What start and counts say of the run, the simplest that fits first: as planned from the start on, a start at
 * another moment, another interval. A count that fits none of the others is left out until another agrees with it.
 * @param {Paced} timing @param {number} fired_ms @param {Count[]} all in the order in which they were taken
 * @returns {Judged}
 */
export function judged(timing, fired_ms, all) {
  const counts = all.slice(-MOST_COUNTS);
  const start = { least: [{ a: 0, b: fired_ms - SLACK_MS }], most: [{ a: 0, b: fired_ms + SLACK_MS }] };
  const boundsOf = (/** @type {Count[]} */ some) => ({
    least: some.map(({ frame, utc_ms }) => ({ a: sinceStart(timing, frame + 1), b: utc_ms - SLACK_MS })),
    most: some.map(({ frame, utc_ms }) => ({ a: sinceStart(timing, frame), b: utc_ms + SLACK_MS })),
  });
  const asFired = (/** @type {Count[]} */ some) => fromStart(fired_ms, boundsOf(some));
  const together = (/** @type {Count[]} */ some) =>
    asFired(some) ?? shifted(boundsOf(some)) ?? stretched(joined(start, boundsOf(some)), WITH_START);
  const without = (/** @type {(some: Count[]) => Found | null} */ fit) => withoutOne(counts, fit);
  const apart = () => (counts.length > 1 ? stretched(boundsOf(counts), WITHOUT_START) : null);
  const whole = (/** @type {Found | null} */ found) => found && { ...found, odd: [] };
  return whole(together(counts)) ?? without(asFired) ?? whole(apart()) ?? without(together) ?? newest(counts, together);
}

/** @typedef {{run: Run, span: number[] | null}} Found @typedef {{least: Bound[], most: Bound[]}} Bounds */

/** Milliseconds from frame 1 to a frame, as planned. @param {Paced} timing @param {number} frame */
function sinceStart(timing, frame) {
  return utcMs(timing, frame) - timing.segments[0].start_ms;
}

/** @param {Bounds} a @param {Bounds} b */
function joined(a, b) {
  return { least: [...a.least, ...b.least], most: [...a.most, ...b.most] };
}

/** As planned, from the kept start on. @param {number} start_ms @param {Bounds} bounds @returns {Found | null} */
function fromStart(start_ms, bounds) {
  const [from, until] = startsAt(bounds, 1);
  return from <= start_ms && start_ms <= until ? { run: { start_ms, ratio: 1 }, span: null } : null;
}

/** As planned, but from another start on. @param {Bounds} bounds @returns {Found | null} */
function shifted(bounds) {
  const [from, until] = startsAt(bounds, 1);
  return from <= until ? { run: { start_ms: middle(from, until), ratio: 1 }, span: null } : null;
}

/** Another interval: the middle of those that are possible. @param {Bounds} bounds @param {number[]} within @returns {Found | null} */
function stretched(bounds, within) {
  const [low, high] = ratiosOf(bounds, within);
  if (low > high) return null;
  const ratio = (low + high) / 2;
  const [from, until] = startsAt(bounds, ratio);
  return { run: { start_ms: middle(from, until), ratio }, span: [low, high] };
}

/** The starts that are possible at a ratio. @param {Bounds} bounds @param {number} ratio */
function startsAt({ least, most }, ratio) {
  const at = (/** @type {Bound} */ { a, b }) => b - ratio * a;
  return [Math.max(-Infinity, ...least.map(at)), Math.min(Infinity, ...most.map(at))];
}

/** The ratios for which there is a start: each pair of bounds leaves it out of account. @param {Bounds} bounds @param {number[]} within */
function ratiosOf({ least, most }, [low, high]) {
  for (const floor of least) {
    for (const roof of most) {
      const [steep, room] = [roof.a - floor.a, roof.b - floor.b];
      if (steep > 0) high = Math.min(high, room / steep);
      else if (steep < 0) low = Math.max(low, room / steep);
      else if (room < 0) return [1, 0];
    }
  }
  return [low, high];
}

/** @param {number} from @param {number} until */
function middle(from, until) {
  return Math.round((from + until) / 2);
}

/**
 * The counts but for one, the newest first, where those fit.
 * @param {Count[]} counts @param {(some: Count[]) => Found | null} fit @returns {Judged | null}
 */
function withoutOne(counts, fit) {
  for (let out = counts.length - 1; out >= 0 && counts.length > 1; out -= 1) {
    const found = fit(counts.filter((_, index) => index !== out));
    if (found) return { ...found, odd: [counts[out]] };
  }
  return null;
}

/**
 * The rig stood still, or went on: what the newest counts agree on; the last one alone always does.
 * @param {Count[]} counts @param {(some: Count[]) => Found | null} fit @returns {Judged}
 */
function newest(counts, fit) {
  const from = counts.findIndex((_, index) => fit(counts.slice(index)) !== null);
  return { .../** @type {Found} */ (fit(counts.slice(from))), odd: counts.slice(0, from) };
}
