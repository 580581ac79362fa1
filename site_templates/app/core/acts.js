// twin: fieldsheet/plan/acts.py
// What a person does or must mind while the shot runs: pack swap, turning back, gate.

import { TIDES, following } from "./anchors.js";
import { stamp } from "./civil.js";
import { frameAt, msOf, toldMs } from "./pace.js";
import { PlanProblem } from "./problem.js";
import { leavesMs } from "./schedule.js";
import { frameOf } from "./timing.js";

const HALF_DAY_MS = 12 * 3_600_000;

/**
 * The range of frames {from, until: {frame, time}} in which the pack may be swapped; null where there is none.
 * @param {Brief} brief @param {Night} night @param {Timing} timing @returns {SwapRange | null}
 */
export function swapRange(brief, night, timing) {
  const edges = swapEdges(brief, night, timing);
  if (edges === null) return null;
  const first = Math.max(edges[0], 1);
  const last = Math.min(edges[1], timing.frames);
  if (first >= last) return null;
  const at = (/** @type {number} */ frame) => ({ frame, time: stamp(night.spans, msOf(timing, frame)) });
  return { from: at(first), until: at(last) };
}

/**
 * [from, until] in frames between which the swap is meant to lie, inside the shot or not; null where there is none.
 * @param {Brief} brief @param {Night} night @param {Timing} timing @returns {Pair | null}
 */
export function swapEdges(brief, night, timing) {
  if (brief.swap === null) return null;
  const { swap } = brief;
  const edges = [orNull(() => edgeOf(brief, night, timing, swap.from, "swap.from"))];
  edges.push(orNull(() => edgeOf(brief, night, timing, swap.until, "swap.until")));
  return edges.includes(null) ? null : /** @type {Pair} */ (edges);
}

/**
 * An anchor is looked up from leaving on: a swap may be allowed from before the shot.
 * @param {Brief} brief @param {Night} night @param {Timing} timing @param {At} at @param {string} key
 */
function edgeOf(brief, night, timing, at, key) {
  if ("frame" in at || "fraction" in at) return frameOf(at, night, timing, key);
  const at_s = following(night, at, leavesMs(brief, timing.prepared_ms) / 1000, key);
  return frameAt(timing, at_s * 1000);
}

/**
 * When [ms UTC] the swap was to be over, where that is before frame 1; else null. See the twin.
 * @param {NonNullable<Brief["swap"]>} swap @param {Night} night @param {Timing} timing @returns {number | null}
 */
export function swapMissedMs({ until }, night, { start_ms, end_ms }) {
  if ("frame" in until || "fraction" in until) return null;
  const [over, next] = [HALF_DAY_MS, 0].map((ms) =>
    orNull(() => following(night, until, (start_ms - ms) / 1000, "swap.until") * 1000),
  );
  if (over === null || over > start_ms) return null;
  return next !== null && next - end_ms < start_ms - over ? null : over;
}

/**
 * Clock times that the place sets, {id, with, time}, each the first after leaving; in order of time. One that hangs
 * on an event which does not come is left out.
 * @param {Brief} brief @param {Night} night @param {Timing} timing @returns {Limit[]}
 */
export function limits(brief, night, timing) {
  return placeAnchors(brief)
    .map(([id, anchor, whom]) => ({
      id,
      with: whom,
      at_s: orNull(() => following(night, anchor, leavesMs(brief, timing.prepared_ms) / 1000, "place")),
    }))
    .flatMap(({ id, with: whom, at_s }) =>
      at_s === null ? [] : [{ id, with: whom, time: stamp(night.spans, at_s * 1000) }],
    )
    .sort((a, b) => a.time.utc_ms - b.time.utc_ms);
}

/**
 * [id, anchor, with whom] of the clock times that the place sets.
 * @param {Brief} brief @returns {[string, Anchor, string | null][]}
 */
export function placeAnchors(brief) {
  const { turn_back, gate_closes, check_in } = brief.place;
  /** @type {[string, Anchor | null, string | null][]} */
  const anchors = [
    ["turn-back", turn_back, null],
    ["gate", gate_closes, null],
    ["check-in", check_in && check_in.at, check_in && check_in.with],
  ];
  return anchors.flatMap(([id, anchor, whom]) => (anchor === null ? [] : [[id, anchor, whom]]));
}

/** What a function gives, or null where this night has no plan for it. @template T @param {() => T} give @returns {T | null} */
function orNull(give) {
  try {
    return give();
  } catch (error) {
    if (!(error instanceof PlanProblem)) throw error;
    return null;
  }
}

/**
 * What lies along the run strip, by frame: sky and sea on one side, keyframes and acts on the other.
 * @param {Pick<Night, "spans">} night @param {Paced & {frames: number}} timing @param {Plan["sky"]["events"]} events
 * @param {PlanKeyframe[]} keyframes @param {Power["changes"]} changes @param {Limit[]} limited
 * @param {(FrameTime & {id: string})[]} turned @returns {Plan["moments"]}
 */
export function moments(night, timing, events, keyframes, changes, limited, turned) {
  /** @param {"sky" | "hand"} side @param {string} kind @param {string} id @param {FrameTime} at */
  const moment = (side, kind, id, { frame, time }) => ({ side, kind, id, frame, time });
  const sky = events.map((event) => moment("sky", TIDES.includes(event.event) ? "tide" : "event", event.event, event));
  const hand = keyframes.map((keyframe) => ({
    ...moment("hand", "keyframe", "moment.keyframe", keyframe),
    number: keyframe.number,
  }));
  const swaps = changes.flatMap((swap) => [
    moment("hand", "act", "moment.swap-from", swap.from),
    moment("hand", "act", "moment.swap-until", swap.until),
  ]);
  const acts = limited.map(({ id, time }) =>
    moment("hand", "act", `moment.${id}`, { frame: frameAt(timing, time.utc_ms), time }),
  );
  const clicked = turned.map((turn) => moment("hand", "exposure", turn.id, turn));
  const intervals = timing.segments.slice(1).map((segment) => ({
    ...moment("hand", "act", "moment.interval", {
      frame: segment.first_frame,
      time: stamp(night.spans, segment.start_ms),
    }),
    interval_ms: toldMs(timing, segment),
  }));
  return [...sky, ...hand, ...swaps, ...acts, ...intervals, ...clicked]
    .filter(({ frame }) => frame >= 1 && frame <= timing.frames)
    .sort((a, b) => a.frame - b.frame);
}
