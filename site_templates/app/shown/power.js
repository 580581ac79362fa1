// Power and storage: what is taken and what it lasts, in lines, and each supply as a falling line with its swap.

import { fixed, word } from "../core/say.js";
import { make, shape } from "../touch/dom.js";
import { pairTable } from "../touch/pairs.js";

const WIDTH = 340;
const HEIGHT = 96;
const TOP = 16;
const FOOT = 78;
const LABEL = 32;

/**
 * Fills the section when it is opened, and anew when the page shows another plan.
 * @param {HTMLDetailsElement} box @param {() => {plan: Plan, sheet: Sheet}} shown
 * @returns {{show: () => void}}
 */
export function makePower(box, shown) {
  const inside = make("div");
  /** @type {*} */
  let drawn = null;
  box.append(inside);
  box.addEventListener("toggle", show);
  return { show };

  function show() {
    const { plan, sheet } = shown();
    if (!box.open || drawn === plan) return;
    drawn = plan;
    const table = pairTable(sheet.power);
    inside.replaceChildren(table, ...plan.power.supplies.map((supply) => falling(plan, supply)));
  }
}

/**
 * What a supply has left above its reserve, along the frames; a fresh pack from the middle of each swap on.
 * @param {Plan} plan @param {Supply} supply
 */
function falling(plan, supply) {
  const { frames } = plan.timing;
  const { used_wh: used } = supply;
  const changes = supply.id === "rig" ? plan.power.changes : [];
  const ends = [...changes.map(({ from, until }) => (from.frame + until.frame) / 2), frames + 1];
  const packs = supply.packs.slice(0, ends.length);
  const most_wh = Math.max(...packs.map(({ usable_wh }) => usable_wh));
  const x = (/** @type {number} */ frame) => ((frame - 1) / frames) * WIDTH;
  const y = (/** @type {number} */ left) => FOOT - (Math.max(left, 0) / most_wh) * (FOOT - TOP);
  const usedAt = (/** @type {number} */ frame) => between(used, ((frame - 1) / frames) * (used.length - 1));
  const corners = used.map((_, n) => 1 + (n * frames) / (used.length - 1));
  const way = packs.map(({ usable_wh }, n) => {
    const start = n > 0 ? ends[n - 1] : 1;
    const since_wh = n > 0 ? usedAt(start) : 0;
    const along = [start, ...corners.filter((frame) => frame > start && frame < ends[n]), ends[n]];
    const points = along.map((frame) => [x(frame), y(usable_wh - usedAt(frame) + since_wh)]);
    return "M" + points.map((point) => point.map((at) => fixed(at, 1)).join(" ")).join("L");
  });
  const name = word(`supply.${supply.id}`);
  const label = `${name}: ${fixed(most_wh, 1)} Wh when full; dashed: the reserve`;
  const chart = shape("svg", { viewBox: `0 0 ${WIDTH} ${HEIGHT}`, class: "falling", role: "img", "aria-label": label });
  chart.append(
    ...changes.map(({ from, until }) => {
      const width = x(until.frame) - x(from.frame);
      return shape("rect", { x: x(from.frame), y: TOP, width, height: FOOT - TOP });
    }),
    shape("path", { d: `M0 ${FOOT}H${WIDTH}`, class: "reserve" }),
    shape("path", { d: way.join("") }),
    text(0, TOP - 4, label),
    text(0, HEIGHT - 4, "frame 1"),
    text(WIDTH, HEIGHT - 4, `${frames}`, "end"),
    ...apart(changes.map((_, n) => x(ends[n]))).map((at) => text(at, HEIGHT - 4, word("power.name.swap"), "middle")),
  );
  return chart;
}

/** Where labels stand beside each other and beside those at both ends; what has no room has none. @param {number[]} places */
function apart(places) {
  const held = places.map((at) => Math.min(Math.max(at, 2 * LABEL), WIDTH - 2 * LABEL));
  return held.filter((at, n) => n === 0 || at - held[n - 1] >= LABEL);
}

/** @param {number} x @param {number} y @param {string} said @param {string} anchor */
function text(x, y, said, anchor = "start") {
  const node = shape("text", { x, y, "text-anchor": anchor });
  node.textContent = said;
  return node;
}

/** The value at a real place of a list. @param {number[]} values @param {number} at */
function between(values, at) {
  const n = Math.min(Math.floor(at), values.length - 2);
  return values[n] + (values[n + 1] - values[n]) * (at - n);
}
