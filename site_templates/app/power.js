// Power and storage: what is taken and what it lasts, in lines, and each supply as a falling line with its swap.

import { fixed, word } from "./core/say.js";
import { make, shape } from "./dom.js";

const WIDTH = 340;
const HEIGHT = 96;
const TOP = 16;
const FOOT = 78;

/**
 * Fills the section when it is opened, and anew when the page shows another plan.
 * @param {HTMLDetailsElement} box @param {() => {plan: *, sheet: *}} shown
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
    const rows = sheet.power.map(({ name, text }) => make("tr", {}, make("th", {}, name), make("td", {}, text)));
    const table = make("table", { className: "pairs bodies" }, make("tbody", {}, ...rows));
    inside.replaceChildren(table, ...plan.power.supplies.map((supply) => falling(plan, supply)));
  }
}

/** What a supply has left above its reserve, along the frames; a fresh pack from the middle of the swap on. */
function falling(plan, supply) {
  const { frames } = plan.timing;
  const { packs, used_wh: used } = supply;
  const swap = supply.id === "rig" && packs.length > 1 ? plan.power.swap : null;
  const at = swap ? (swap.from.frame + swap.until.frame) / 2 : frames + 1;
  const most_wh = Math.max(...packs.slice(0, swap ? 2 : 1).map(({ usable_wh }) => usable_wh));
  const x = (/** @type {number} */ frame) => ((frame - 1) / frames) * WIDTH;
  const y = (/** @type {number} */ left) => FOOT - (Math.max(left, 0) / most_wh) * (FOOT - TOP);
  const usedAt = (/** @type {number} */ frame) => between(used, ((frame - 1) / frames) * (used.length - 1));
  const corners = used.map((_, n) => 1 + (n * frames) / (used.length - 1));
  const line = (/** @type {number[]} */ along, /** @type {(frame: number) => number} */ left) =>
    "M" + along.map((frame) => [fixed(x(frame), 1), fixed(y(left(frame)), 1)].join(" ")).join("L");
  const first = [...corners.filter((frame) => frame < at), Math.min(at, frames + 1)];
  let path = line(first, (frame) => packs[0].usable_wh - usedAt(frame));
  if (swap) {
    const second = [at, ...corners.filter((frame) => frame > at)];
    path += line(second, (frame) => packs[1].usable_wh - (usedAt(frame) - usedAt(at)));
  }
  const name = word(`supply.${supply.id}`);
  const label = `${name}: ${fixed(most_wh, 1)} Wh above the reserve when full`;
  const chart = shape("svg", { viewBox: `0 0 ${WIDTH} ${HEIGHT}`, class: "falling", role: "img", "aria-label": label });
  if (swap) {
    const from = x(swap.from.frame);
    chart.append(shape("rect", { x: from, y: TOP, width: x(swap.until.frame) - from, height: FOOT - TOP }));
  }
  chart.append(
    shape("path", { d: `M0 ${FOOT}H${WIDTH}`, class: "reserve" }),
    shape("path", { d: path }),
    text(0, TOP - 4, label),
    text(0, HEIGHT - 4, "reserve · frame 1"),
    text(WIDTH, HEIGHT - 4, `${frames}`, "end"),
  );
  if (swap) chart.append(text(x(at), HEIGHT - 4, word("power.name.swap"), "middle"));
  return chart;
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
