// When the night goes otherwise: a start that comes late, a stop after a frame; the ways to go on, computed here.

import { nightOf, opening } from "./core/anchors.js";
import { pathOf } from "./core/frames.js";
import { opensOf } from "./core/opened.js";
import { msOf } from "./core/pace.js";
import { lateStart } from "./core/plan.js";
import { PlanProblem } from "./core/problem.js";
import { recoveryOf } from "./core/recovery.js";
import { say } from "./core/say.js";
import { axesOf } from "./core/sheet-figures.js";
import { lateText, recoveryText } from "./core/sheet-options.js";
import { clocks, dated } from "./core/sheet-times.js";
import { solve } from "./core/timing.js";
import { make } from "./dom.js";

const MINUTE_MS = 60000;
const DAY_MS = 24 * 60 * MINUTE_MS;
const CLOCK = /^([01]?[0-9]|2[0-3])[:.]([0-5][0-9])$/;

/** @typedef {{late: *, recovery: *}} Told what is told of the shot; null what is not */

/**
 * Fills the section when it is first opened.
 * @param {HTMLDetailsElement} box
 * @param {() => {plan: *, reach: import("./nights.js").Reach}} shown
 * @returns {{show: () => void}} show: the page shows another plan, and what was told is of the one before
 */
export function makeWrong(box, shown) {
  const clock = field("first frame at", "20:15");
  const frame = field("stopped after frame", "612");
  const minutes = field("minutes until it rolls", "15");
  const said = make("p");
  said.setAttribute("role", "status");
  const told = make("div");

  /** @param {(shot: *, plan: *) => Told | string} ask what came of it, or what is wrong with what was typed */
  function answer(ask) {
    const { plan, reach } = shown();
    const found = reach.bar === "" ? tried(() => ask(shotOf(plan, reach.sky), plan), plan) : `Not yet: ${reach.bar}.`;
    said.textContent = typeof found === "string" ? found : "";
    if (typeof found !== "string") told.replaceChildren(...textsOf({ ...plan, ...found }));
  }

  const late = make("button", { type: "button" }, "It starts late");
  const stopped = make("button", { type: "button" }, "It stopped");
  late.addEventListener("click", () => answer((shot) => lateBy(shot, clock.value)));
  stopped.addEventListener("click", () => answer((shot, plan) => stoppedAt(shot, plan, frame.value, minutes.value)));
  box.addEventListener("toggle", () => {
    if (told.parentElement) return;
    const label = (/** @type {HTMLInputElement} */ one) => make("label", {}, one.ariaLabel ?? "", one);
    box.append(
      make("p", { className: "where" }, label(clock)),
      late,
      make("p", { className: "where" }, label(frame), label(minutes)),
      stopped,
      said,
      told,
    );
  });
  return {
    show() {
      told.replaceChildren();
      said.textContent = "";
    },
  };
}

/** @param {string} name @param {string} placeholder */
function field(name, placeholder) {
  return make("input", { type: "text", autocomplete: "off", maxLength: 6, ariaLabel: name, placeholder });
}

/** What comes of it, or in words why nothing does. @param {() => Told | string} ask */
function tried(ask, plan) {
  try {
    return ask();
  } catch (error) {
    if (!(error instanceof PlanProblem)) throw error;
    const found = say(`${error.id}.found`, error.args, plan.brief.place.zone.spans);
    return `${found.replace(/^./, (sign) => sign.toUpperCase())}.`;
  }
}

/** The shot as the page shows it. */
function shotOf(plan, sky) {
  const { brief } = plan;
  const night = nightOf(brief, sky, { ...brief.night, date: plan.window.night });
  const timing = solve(brief, night, plan.changes.start_ms ?? null);
  return { brief, night, timing, opens: opensOf(brief, plan.exposure) };
}

/** @param {string} typed */
function lateBy(shot, typed) {
  const found = CLOCK.exec(typed.trim());
  if (!found) return `Not a clock time: “${typed}”. Write 20:15.`;
  const clock_s = Number(found[1]) * 3600 + Number(found[2]) * 60;
  const late = lateStart(shot, opening(shot.night, { clock_s }, "start") * 1000);
  return late === null ? `${typed} is not later than planned.` : { late, recovery: null };
}

/** Minutes count from now while the shot is on, else from the frame. @param {string} typed @param {string} minutes */
function stoppedAt(shot, plan, typed, minutes) {
  const [frame, wait] = [typed, minutes].map((text) => (/^[0-9]{1,6}$/.test(text.trim()) ? Number(text) : NaN));
  if (Number.isNaN(frame)) return `Not a frame: “${typed}”. Write what the rig shows, such as 612.`;
  if (Number.isNaN(wait)) return `Not minutes: “${minutes}”. Write a whole number, such as 15.`;
  const stood_ms = msOf(shot.timing, frame);
  const now_ms = Date.now();
  const from_ms = stood_ms < now_ms && now_ms < stood_ms + DAY_MS ? now_ms : stood_ms;
  const stopped = { frame, rolling_ms: from_ms + wait * MINUTE_MS };
  return { late: null, recovery: recoveryOf(shot, pathOf(plan), stopped) };
}

/** What is told, in boxes. @param {*} plan with what is told of it */
function textsOf(plan) {
  const { spans } = plan.brief.place.zone;
  const at = dated(plan, spans, clocks(plan, spans));
  const axes = axesOf(plan.brief);
  const { head, lines, steps, options } = lateText(plan, axes, at) ?? recoveryText(plan, axes, at);
  const first = options.find(({ why }) => why === "");
  return [
    make("p", {}, make("b", {}, head)),
    pairs(lines),
    ...(steps.length > 0 ? [make("ol", {}, ...steps.map((step) => make("li", {}, step)))] : []),
    ...options.map((option) => optionBox(option, option === first)),
  ];
}

/** @param {boolean} open */
function optionBox({ head, why, lines, keyframes }, open) {
  const failed = why ? [make("p", {}, why)] : [];
  const rows = keyframes.flatMap((keyframe) => [
    make("p", {}, make("b", {}, `${keyframe.key} ${keyframe.name}`), ` · on rig: ${keyframe.on_rig} · frame ${keyframe.frame} · ${keyframe.clock} · ${keyframe.keyed}`),
    make("p", { className: "line" }, keyframe.line),
    ...[keyframe.off, keyframe.aimed].filter((text) => text !== "").map((text) => make("p", { className: "soft" }, text)),
  ]);
  const summary = make("summary", {}, why ? `${head} (not possible)` : head);
  return make("details", { className: "way", open }, summary, ...failed, pairs(lines), ...rows);
}

function pairs(lines) {
  const rows = lines.map(({ name, text }) => make("tr", {}, make("th", {}, name), make("td", {}, text)));
  return make("table", { className: "pairs bodies" }, make("tbody", {}, ...rows));
}
