// Another interval: the rig's steps up and down, what comes of each, and a tap that takes it.

import { gapMs, settableMs } from "../core/keyed.js";
import { spanText } from "../core/say.js";
import { make } from "../touch/dom.js";
import { pairTable } from "../touch/pairs.js";
import { refill } from "../touch/refill.js";
import { taking } from "./ways.js";

const SECOND_MS = 1000;
const SECONDS = /^([0-9]{1,5})(?:[.,]([0-9]{1,3}))?$/;
/** What of a sheet is told of an interval. */
const TOLD = /** @type {const} */ (["dwell", "frames", "clip", "last_closes", "slack"]);

/**
 * @param {() => {plan: Plan, rolls: boolean}} shown
 * @param {(interval_ms: number) => import("./others.js").Computed} compute
 * @param {(interval_ms: number) => unknown} take
 */
export function makeOtherPace(shown, compute, take) {
  const field = make("input", {
    type: "text",
    inputMode: "decimal",
    autocomplete: "off",
    maxLength: 9,
    ariaLabel: "another interval, in seconds",
  });
  const [shorter, longer] = [-1, 1].map((way) => {
    const button = make("button", { type: "button" }, way < 0 ? "Shorter" : "Longer");
    button.addEventListener("click", () => step(way));
    return button;
  });
  const said = make("p");
  said.setAttribute("role", "status");
  const told = make("div");
  field.addEventListener("change", () => tell(asked()));
  const place = make("div", { className: "pace" }, shorter, make("label", {}, "interval, s", field), longer);
  /** @type {Plan | null} */
  let of_plan = null;

  /** What is typed, in milliseconds; null where it is no number. */
  function asked() {
    const found = SECONDS.exec(field.value.trim());
    return found && Number(found[1]) * SECOND_MS + Number((found[2] ?? "").padEnd(3, "0"));
  }

  /** The next interval that the rig can be given, that way. @param {number} way */
  function step(way) {
    const { brief, timing } = shown().plan;
    const from_ms = asked() ?? timing.interval_ms;
    const step_ms = brief.rig.interval_step_ms;
    const next_ms = settableMs(brief, way > 0 ? Math.floor(from_ms) + 1 : Math.max(from_ms - step_ms, 0));
    field.value = String(next_ms / SECOND_MS);
    tell(next_ms);
  }

  /** @param {number | null} interval_ms */
  function tell(interval_ms) {
    const { plan, rolls } = shown();
    said.textContent = "";
    if (interval_ms !== null && !rolls && interval_ms !== plan.timing.interval_ms) return tellOf(plan, interval_ms);
    refill(told);
    if (interval_ms === null)
      said.textContent = `Not seconds: “${field.value}”. Write ${plan.timing.interval_ms / SECOND_MS}.`;
    else if (rolls)
      said.textContent = "The shot runs: a rig is given another interval once it stands. Tell it under “It stopped”.";
  }

  /** @param {Plan} plan that is shown @param {number} interval_ms */
  function tellOf(plan, interval_ms) {
    const found = compute(interval_ms);
    if ("why" in found) {
      refill(told);
      const [below_ms, above_ms] = around(plan.brief, interval_ms);
      const near = below_ms === above_ms ? "" : ` The rig takes ${spanText(below_ms)} or ${spanText(above_ms)}.`;
      said.textContent = `No plan with ${spanText(interval_ms)}: ${found.why}.${near}`;
      return;
    }
    const { numbers, labels, warnings } = found.sheet;
    const gap_ms = gapMs(plan.brief, interval_ms);
    const keyed = gap_ms === null ? spanText(interval_ms) : `${spanText(interval_ms)}, a gap of ${spanText(gap_ms)}`;
    const lines = TOLD.filter((name) => numbers[name] !== "").map((name) => ({
      name: labels[name],
      text: numbers[name],
    }));
    const stops = warnings
      .filter(({ level }) => level === "no-go")
      .map(({ word, head }) => ({ name: word, text: head }));
    refill(
      told,
      pairTable([{ name: "interval", text: keyed }, ...lines, ...stops]),
      taking(`interval ${keyed}`, () => take(interval_ms)),
    );
  }

  return {
    nodes: [place, said, told],
    /** What was asked before the sky was there is answered. */
    look() {
      if (said.textContent !== "") tell(asked());
    },
    /** The page shows another plan: what was told is of the one before. */
    show() {
      const { plan } = shown();
      if (of_plan === plan) return;
      of_plan = plan;
      field.value = String(plan.timing.interval_ms / SECOND_MS);
      refill(told);
      said.textContent = "";
    },
  };
}

/**
 * The intervals around one that the rig can be given; the same twice where it can be given that.
 * @param {Brief} brief @param {number} interval_ms
 */
function around(brief, interval_ms) {
  const above_ms = settableMs(brief, interval_ms);
  const below_ms = Math.max(above_ms - brief.rig.interval_step_ms, settableMs(brief, 0));
  return above_ms === interval_ms ? [above_ms, above_ms] : [below_ms, above_ms];
}
