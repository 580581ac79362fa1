// The exposure of a shot: lines, the light against the frames with the clicks on it, the table of bands, and the shift
// by a click where the sky is ahead of the plan or behind it.

import { rungClicks } from "./core/exposing.js";
import { fixed } from "./core/say.js";
import { make, shape } from "./dom.js";

const WIDTH = 340;
const HEIGHT = 120;
const TOP = 14;
const FOOT = 102;
const CLICKS = 3;

/**
 * Fills the section when it is opened, and anew when the page shows another plan.
 * @param {HTMLDetailsElement} box
 * @param {() => {plan: *, sheet: *, printed_sheet: *}} shown
 * @param {(shift_ev: number) => unknown} shift
 * @returns {{show: () => void, allow: (may: boolean) => void}} allow: whether there is a sky to compute with
 */
export function makeExposure(box, shown, shift) {
  const inside = make("div");
  const buttons = [[1, "One click brighter"], [-1, "One click darker"]].map(([way, text]) => {
    const button = make("button", { type: "button", disabled: true }, String(text));
    button.addEventListener("click", () => {
      const clicks = Math.round(shown().plan.exposure.shift_ev * CLICKS) + Number(way);
      shift(clicks / CLICKS);
    });
    return button;
  });
  const hint = make("p", {}, "Does the sky run ahead of the plan, or behind it? Everything shifts by a third of a stop:");
  /** @type {*} */
  let drawn = null;
  box.append(inside, hint, make("div", { className: "shift" }, ...buttons));
  box.addEventListener("toggle", show);
  return {
    show,
    allow: (may) => {
      for (const button of buttons) button.disabled = !may;
    },
  };

  function show() {
    const { plan, sheet, printed_sheet } = shown();
    if (!box.open || drawn === plan) return;
    drawn = plan;
    const { lines, bands } = sheet.exposure;
    const printed = printed_sheet.exposure;
    const rows = lines.map(({ name, text }) => {
      const differs = printed.lines.find((line) => line.name === name)?.text !== text;
      return make("tr", {}, make("th", {}, name), make("td", { className: differs ? "differs" : "" }, text));
    });
    const table = make("table", { className: "pairs bodies" }, make("tbody", {}, ...rows));
    inside.replaceChildren(table, chartOf(plan), bandTable(bands, printed.bands));
  }
}

/** A row of two lines a band. */
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
  return make("table", { className: "clicks" }, caption, head, make("tbody", {}, ...rows));
}

/** The target as a thin line, the clicks as steps along it. */
function chartOf(plan) {
  const { exposure, brief, timing } = plan;
  const { top_ev } = brief.exposure;
  const clicks = [[1, 0, exposure.first_rung], ...rungClicks(exposure)];
  const evs = clicks.map(([, , rung]) => top_ev - rung / CLICKS);
  const [most, least] = [Math.max(...evs, ...exposure.curve), Math.min(...evs, ...exposure.curve)];
  const x = (/** @type {number} */ share) => fixed(share * WIDTH, 1);
  const y = (/** @type {number} */ ev) => fixed(FOOT - ((ev - least) / (most - least || 1)) * (FOOT - TOP), 1);
  const curve = exposure.curve.map((ev, n) => `${x(n / (exposure.curve.length - 1))} ${y(ev)}`).join("L");
  const steps = clicks.slice(1).map(([frame], n) => `H${x((frame - 1) / timing.frames)}V${y(evs[n + 1])}`);
  const label = `Exposure from EV ${fixed(most, 1)} to EV ${fixed(least, 1)} over the frames`;
  const chart = shape("svg", { viewBox: `0 0 ${WIDTH} ${HEIGHT}`, class: "falling", role: "img", "aria-label": label });
  chart.append(
    shape("path", { d: `M${curve}`, class: "reserve" }),
    shape("path", { d: `M0 ${y(evs[0])}${steps.join("")}H${WIDTH}` }),
    textAt(0, TOP - 4, `EV ${fixed(most, 1)}`),
    textAt(WIDTH, FOOT + 14, `EV ${fixed(least, 1)} · frame ${timing.frames}`, "end"),
    textAt(0, FOOT + 14, "frame 1"),
  );
  return chart;
}

/** @param {number} x @param {number} y @param {string} said @param {string} anchor */
function textAt(x, y, said, anchor = "start") {
  const node = shape("text", { x, y, "text-anchor": anchor });
  node.textContent = said;
  return node;
}
