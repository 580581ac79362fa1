// The interval of the worst frame as a bar: what camera and rig do in it, one under the other, and what is left.

import { make, shape } from "../touch/dom.js";

const WIDTH = 340;
const LANE = 16;
const GAP = 4;

/** @param {Element} box @param {Plan} plan @param {{interval_lines: {name: string, text: string}[]}} sheet */
export function drawBar(box, plan, sheet) {
  const budget = plan.interval_budget;
  const { interval_ms } = budget; // the worst one's
  const scale = WIDTH / Math.max(interval_ms, budget.needed_ms);
  const moves = Object.keys(plan.brief.rig.axes).length > 0;
  const lanes = moves ? [cameraParts(budget), rigParts(budget, interval_ms)] : [cameraParts(budget)];
  const height = lanes.length * (LANE + GAP) + GAP;
  const blocks = lanes.flatMap((parts, lane) => {
    let from = 0;
    return parts.map(([kind, ms]) => {
      const block = shape("rect", {
        x: from * scale,
        y: GAP + lane * (LANE + GAP),
        width: ms * scale,
        height: LANE,
        class: kind,
      });
      from += ms;
      return block;
    });
  });
  const end = shape("path", { d: `M${interval_ms * scale} 0V${height}`, class: "end" });
  const label = sheet.interval_lines.map(({ name, text }) => `${name}: ${text}`).join("; ");
  const view = `-1 0 ${WIDTH + 2} ${height}`;
  const drawing = shape("svg", { viewBox: view, class: "bar", role: "img", "aria-label": label });
  drawing.append(...blocks, end);
  box.replaceChildren(
    drawing,
    ...sheet.interval_lines.map(({ name, text }) => make("p", {}, make("b", {}, name), ` ${text}`)),
  );
}

/** @param {Budget} budget @returns {[string, number][]} */
function cameraParts({ release_lag_ms, shutter_ms, camera_ready_ms }) {
  return [
    ["wait", release_lag_ms],
    ["busy", shutter_ms],
    ["move", camera_ready_ms],
  ];
}

/**
 * A rig that does not stop moves all the time.
 * @param {Budget} budget @param {number} interval_ms @returns {[string, number][]}
 */
function rigParts({ dwell_ms, move_ms, settle_ms }, interval_ms) {
  return dwell_ms === null
    ? [["move", interval_ms]]
    : [
        ["busy", dwell_ms],
        ["move", move_ms],
        ["wait", settle_ms],
      ];
}
