// Which packs were changed, by what was said to be done.

import { frameAt } from "../core/pace.js";
import { packsGone } from "../core/sheet-power.js";

/** The swaps of the plan that were said to be done. @param {Plan["power"]} power @param {TakeState["acts"]} acts */
export function swapsDone({ changes }, acts) {
  return changes.flatMap((_, n) => acts.get(`swap.${n + 1}`) ?? []);
}

/** How many swaps the log has of the whole shot; after a stop of which it has none, only those since. @param {Plan} plan @param {TakeState["acts"]} acts */
export function swapsMade(plan, acts) {
  const since = swapsDone(plan.power, acts).length;
  const { way } = plan.changes;
  const is_known = way?.frame === undefined || (way.after?.swapped ?? []).length > 0;
  return is_known || since > 0 ? packsGone(plan) + since : 0;
}

/**
 * The frames at which packs were changed until a stop, by the log, in order.
 * @param {Plan} plan as it ran @param {TakeState["acts"]} acts @param {number} last the last frame that was fired
 */
export function swappedFrames({ power, timing }, acts, last) {
  const frames = swapsDone(power, acts).map(({ utc_ms }) => Math.floor(frameAt(timing, utc_ms)));
  return frames.map((frame) => Math.min(Math.max(frame, 1), last + 1)).sort((a, b) => a - b);
}
