// The exposure of a shot: lines, the light against time with the clicks on it, the table of bands, and the shift by a
// click where the sky is ahead of the plan or behind it.

import { rungsOf } from "../core/opened.js";
import { msOf } from "../core/pace.js";
import { clock, fixed } from "../core/say.js";
import { make, shape } from "../touch/dom.js";
import { pairTable } from "../touch/pairs.js";
import { makeReads } from "./reads.js";

/** @typedef {NonNullable<Sheet["exposure"]>} Exposed @typedef {Exposed["bands"]} Bands */

const WIDTH = 340;
const HEIGHT = 120;
const TOP = 14;
const FOOT = 102;
const CLICKS = 3;

/**
 * Fills the section when it is opened, and anew when the page shows another plan.
 * @param {HTMLDetailsElement} box
 * @param {() => {plan: Plan, sheet: Sheet, printed_sheet: Sheet}} shown
 * @param {(shift_ev: number) => unknown} shift @param {Parameters<typeof makeReads>[2]} keep what the camera was read at
 * @returns {{show: () => void, allow: (may: boolean) => void}} allow: whether there is a sky to compute with
 */
export function makeExposure(box, shown, shift, keep) {
  const inside = make("div");
  const buttons = [
    [1, "One click brighter"],
    [-1, "One click darker"],
  ].map(([way, text]) => {
    const button = make("button", { type: "button", disabled: true }, String(text));
    button.addEventListener("click", () => {
      const clicks = Math.round((shown().plan.exposure?.shift_ev ?? 0) * CLICKS) + Number(way);
      shift(clicks / CLICKS);
    });
    return button;
  });
  const hint = make(
    "p",
    {},
    "Does the sky run ahead of the plan, or behind it? Everything shifts by a third of a stop:",
  );
  /** @type {*} */
  let drawn = null;
  const reads = makeReads(shown, shift, keep);
  box.append(inside, hint, make("div", { className: "shift" }, ...buttons), ...reads.nodes);
  box.addEventListener("toggle", show);
  return {
    show,
    allow: (may) => {
      for (const button of buttons) button.disabled = !may;
      reads.allow(may);
    },
  };

  function show() {
    const { plan, sheet, printed_sheet } = shown();
    if (!box.open || drawn === plan) return;
    drawn = plan;
    const { lines, bands } = /** @type {Exposed} */ (sheet.exposure);
    const printed = /** @type {Exposed} */ (printed_sheet.exposure);
    const differs = (/** @type {import("../touch/pairs.js").Pair} */ { name, text }) =>
      printed.lines.find((line) => line.name === name)?.text !== text;
    reads.show();
    inside.replaceChildren(pairTable(lines, differs), chartOf(plan), bandTable(bands, printed.bands));
  }
}

/** A row of two lines a band. @param {Bands} bands @param {Bands} printed */
function bandTable(bands, printed) {
  const names = ["frames", "from", "total", "spare"].map((name) => make("th", {}, name));
  const rows = bands.flatMap((band) => {
    const differs = printed.some((row) => JSON.stringify(row) === JSON.stringify(band)) ? "" : "differs";
    const cells = [make("b", {}, band.frames), band.clock, band.total, band.spare].map((text) => make("td", {}, text));
    const does = make("td", { colSpan: 4, className: differs }, band.does, make("small", {}, band.reads));
    return [make("tr", {}, ...cells), make("tr", {}, does)];
  });
  const caption = make("caption", {}, "total: clicks since frame 1; spare: from the closed shutter to the next frame");
  const head = make("thead", {}, make("tr", {}, ...names));
  const table = make("table", { className: "clicks" }, caption, head, make("tbody", {}, ...rows));
  return make("div", { className: "across" }, table);
}

/**
 * Against time: the light on the ground dotted, the target as a thin line, the clicks as steps along it.
 * @param {Plan} plan
 */
function chartOf({ brief, timing, window: { start, end }, ...plan }) {
  const exposure = /** @type {Exposure} */ (plan.exposure);
  const ground = plan.light.curve ?? [];
  const { top_ev } = /** @type {BriefExposure} */ (brief.exposure);
  const steps = rungsOf(exposure).map(([frame, rung]) => [msOf(timing, frame), top_ev - rung / CLICKS]);
  const evs = [...steps.map(([, ev]) => ev), ...exposure.curve, ...ground];
  const [most, least] = [Math.max(...evs), Math.min(...evs)];
  const x = (/** @type {number} */ ms) => fixed(((ms - start.utc_ms) / (end.utc_ms - start.utc_ms)) * WIDTH, 1);
  const y = (/** @type {number} */ ev) => fixed(FOOT - ((ev - least) / (most - least || 1)) * (FOOT - TOP), 1);
  const along = (/** @type {number[]} */ curve) =>
    curve.map((ev, n) => `${x(msOf(timing, 1 + ((timing.frames - 1) * n) / (curve.length - 1)))} ${y(ev)}`).join("L");
  const [[, first], ...clicks] = steps;
  const stairs = clicks.map(([ms, ev]) => `H${x(ms)}V${y(ev)}`).join("");
  const at = (/** @type {number} */ ms) => clock(ms, brief.place.zone.spans);
  const label = `Exposure and light from EV ${fixed(most, 1)} to EV ${fixed(least, 1)}, against time`;
  const chart = shape("svg", { viewBox: `0 0 ${WIDTH} ${HEIGHT}`, class: "falling", role: "img", "aria-label": label });
  chart.append(
    shape("path", { d: `M${along(ground)}`, class: "reserve" }),
    shape("path", { d: `M${along(exposure.curve)}`, class: "target" }),
    shape("path", { d: `M0 ${y(first)}${stairs}H${WIDTH}` }),
    textAt(0, TOP - 4, `EV ${fixed(most, 1)}`),
    textAt(WIDTH, TOP - 4, "steps: set · dotted: the ground", "end"),
    textAt(WIDTH / 2, FOOT + 14, `EV ${fixed(least, 1)}`, "middle"),
    textAt(WIDTH, FOOT + 14, `${at(end.utc_ms)} · frame ${timing.frames}`, "end"),
    textAt(0, FOOT + 14, `${at(start.utc_ms)} · frame 1`),
  );
  return chart;
}

/** @param {number} x @param {number} y @param {string} said @param {string} anchor */
function textAt(x, y, said, anchor = "start") {
  const node = shape("text", { x, y, "text-anchor": anchor });
  node.textContent = said;
  return node;
}
