// Ways to go on, as a late start or a stop brings them: what to do first, and each way with a tap that takes it.

import { axesOf } from "../core/sheet-figures.js";
import { lateText, recoveryText } from "../core/sheet-options.js";
import { clocks, dated } from "../core/sheet-times.js";
import { make } from "../touch/dom.js";
import { pairTable } from "../touch/pairs.js";

/** @typedef {NonNullable<Sheet["late"]>["options"][number]} Told */

/**
 * What is told, in boxes; the first way that can be is open.
 * @param {Plan} plan with `late` or `recovery` as they are told @param {(id: string) => unknown} take
 */
export function waysTold(plan, take) {
  const { spans } = plan.brief.place.zone;
  const at = dated(plan, spans, clocks(plan, spans));
  const axes = axesOf(plan.brief);
  const told = lateText(plan, axes, at) ?? recoveryText(plan, axes, at);
  if (told === null) return [];
  const { head, lines, steps, options } = told;
  const ids = /** @type {Late | Recovery} */ (plan.late ?? plan.recovery).options.map(({ id }) => id);
  const first = options.findIndex(({ why }) => why === "");
  return [
    make("p", {}, make("b", {}, head)),
    pairTable(lines),
    ...(steps.length > 0 ? [make("ol", {}, ...steps.map((step) => make("li", {}, step)))] : []),
    ...options.map((option, index) => wayBox(option, index === first, () => take(ids[index]))),
  ];
}

/** @param {Told} option @param {boolean} open @param {() => unknown} take */
function wayBox({ head, why, lines, keyframes }, open, take) {
  const failed = why ? [make("p", {}, why)] : [];
  const rows = keyframes.flatMap((keyframe) => [
    make(
      "p",
      {},
      make("b", {}, `${keyframe.key} ${keyframe.name}`),
      ` · on rig: ${keyframe.on_rig} · frame ${keyframe.frame} · ${keyframe.clock} · ${keyframe.keyed}`,
    ),
    make("p", { className: "line" }, keyframe.line),
    ...[keyframe.off, keyframe.aimed]
      .filter((text) => text !== "")
      .map((text) => make("p", { className: "soft" }, text)),
  ]);
  const summary = make("summary", {}, why ? `${head} (not possible)` : head);
  return make(
    "details",
    { className: "way", open },
    summary,
    ...failed,
    pairTable(lines),
    ...rows,
    ...(why ? [] : [taking(head, take)]),
  );
}

/** @param {string} head what it is that is taken @param {() => unknown} take */
export function taking(head, take) {
  const button = make("button", { type: "button", className: "take" }, "Take it");
  button.setAttribute("aria-label", `Take it: ${head}`);
  button.addEventListener("click", take);
  return button;
}
