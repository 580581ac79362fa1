// "The rig shows frame n": the frame that is expected, corrected by a tap or two; what follows from it is said before
// it is kept.

import { amount } from "../touch/amount.js";
import { judged } from "../takes/asrun.js";
import { elapsedMs, intervalAt } from "../core/pace.js";
import { clock, fixed } from "../core/say.js";
import { make, put } from "../touch/dom.js";

const SECOND_MS = 1000;
const FRAME = /^[0-9]{1,6}$/;

/**
 * What the counts say of the run, in words; "" without any.
 * @param {Timing} timing as the rig was told it @param {number} fired_ms @param {import("../takes/asrun.js").Count[]} counts @param {Span[]} spans
 */
export function countWords(timing, fired_ms, counts, spans) {
  if (counts.length === 0) return "";
  const { run, span, odd } = judged(timing, fired_ms, counts);
  const newest = counts[counts.length - 1];
  if (odd.includes(newest))
    return `Frame ${newest.frame} fits none of the other counts: not used until one more agrees.`;
  const endOf = (/** @type {import("../takes/asrun.js").Run} */ { start_ms, ratio }) =>
    start_ms + ratio * elapsedMs(timing, timing.frames);
  const ends = ` Ends ${clock(endOf(run), spans)}.`;
  const left_out =
    odd.length > 0 ? ` ${odd.length} earlier ${odd.length === 1 ? "count is" : "counts are"} not used.` : "";
  if (span) return `${intervalWords(timing, newest.frame, run.ratio, span)}${ends}${left_out}`;
  const off = Math.round((run.start_ms - fired_ms) / intervalAt(timing, newest.frame));
  if (run.start_ms === fired_ms || off === 0) return `On time, within one frame.${left_out}`;
  return `${amount(Math.abs(off), "frame")} ${off > 0 ? "behind" : "ahead"}.${ends}${left_out}`;
}

/** The true interval, and how well it is known. @param {Timing} timing @param {number} frame @param {number} ratio @param {number[]} span */
function intervalWords(timing, frame, ratio, [low, high]) {
  const interval_s = intervalAt(timing, frame) / SECOND_MS;
  const give = ((high - low) / 2) * interval_s;
  const decimals = give < 0.05 ? 2 : 1;
  const [is, by] = [interval_s * ratio, Math.max(give, 10 ** -decimals)].map((value) => fixed(value, decimals));
  return `${is} s a frame instead of ${trimmed(interval_s)} s, give or take ${by} s.`;
}

/** @param {number} seconds */
function trimmed(seconds) {
  return fixed(seconds, 3).replace(/\.?0+$/, "");
}

/**
 * The button, and the form that it opens.
 * @param {object} page
 * @param {() => {timing: Timing, frames: number, expected: number, fired_ms: number, counts: import("../takes/asrun.js").Count[]}} page.run
 * @param {*} page.spans of the place's zone
 * @param {(frame: number) => Promise<unknown>} page.keep
 */
export function makeRigShows({ run, spans, keep }) {
  const button = make("button", { type: "button", className: "rig-shows", disabled: true }, "rig shows\u00a0…");
  const field = make("input", { type: "text", inputMode: "numeric", maxLength: 6, autocomplete: "off" });
  field.setAttribute("aria-label", "frame that the rig shows");
  const [less, more] = [
    [-1, "\u22121"],
    [1, "+1"],
  ].map(([by, text]) => {
    const step = make("button", { type: "button", ariaLabel: `${text} frame` }, String(text));
    step.addEventListener("click", () => stepBy(Number(by)));
    return step;
  });
  const stands = make("span", { className: "unseen" }); // what a step came to, for those who hear it
  stands.setAttribute("role", "status");
  const follows = make("p", {});
  follows.setAttribute("role", "status");
  const kept = make("button", { type: "button", className: "keep" });
  const place = make(
    "div",
    { className: "count", hidden: true },
    make("div", { className: "steps" }, less, field, more),
    stands,
    follows,
    kept,
  );
  let is_touched = false;
  button.setAttribute("aria-expanded", "false");
  button.addEventListener("click", () => open(place.hidden === true));
  field.addEventListener("input", () => {
    is_touched = true;
    show();
  });
  kept.addEventListener("click", async () => {
    await keep(Number(field.value));
    open(false);
    button.focus({ preventScroll: true });
  });

  /** @param {boolean} is_open */
  function open(is_open) {
    is_touched = false;
    place.hidden = !is_open;
    button.setAttribute("aria-expanded", String(is_open));
    show();
    if (is_open) place.scrollIntoView({ block: "nearest" });
  }

  /** @param {number} by */
  function stepBy(by) {
    const { frames, expected } = run();
    const from = FRAME.test(field.value) ? Number(field.value) : expected;
    is_touched = true;
    field.value = String(Math.min(Math.max(from + by, 1), frames));
    stands.textContent = `Frame ${field.value}`;
    show();
  }

  /** The expected frame goes on until it is touched, but not under the cursor; what would follow is said as it is typed. */
  function show() {
    if (place.hidden) return;
    const { timing, frames, expected, fired_ms, counts } = run();
    if (!is_touched && field !== document.activeElement) field.value = String(expected);
    const frame = Number(field.value);
    const is_frame = FRAME.test(field.value) && frame >= 1 && frame <= frames;
    const words = is_frame
      ? countWords(timing, fired_ms, [...counts, { frame, utc_ms: Date.now() }], spans)
      : `A frame from 1 to ${frames}.`;
    field.setAttribute("aria-invalid", String(!is_frame));
    kept.disabled = !is_frame;
    kept.textContent = is_frame ? `Rig shows frame ${frame}` : "Rig shows frame …";
    put(follows, words);
  }

  return { button, place, show };
}
