// When frame 1 fired, to the second: one tap, and the counts to compare that follow from it.

import { spanAt } from "./core/civil.js";
import { rollingRows } from "./core/sheet-sky.js";
import { clocks } from "./core/sheet-times.js";
import { countdown, make } from "./dom.js";

const SECOND_MS = 1000;
const DAY_MS = 24 * 3600 * SECOND_MS;
const FILE_NUMBER = /^[0-9]{1,8}$/;

/**
 * How a camera counts its files: the first one's number as it was typed, and the last before it begins at 1 again.
 * @typedef {{first: string, roll: number}} Files
 */

/** The number of the file that a frame is in; "" where what was typed is no number that this camera counts to.
 *  @param {Files} files @param {number} frame */
export function fileNumber({ first, roll }, frame) {
  const number = Number(first);
  if (!FILE_NUMBER.test(first) || number < 1 || number > roll) return "";
  return String(((number + frame - 2) % roll) + 1).padStart(first.length, "0");
}

/** Clock time of the place to the second. @param {number} utc_ms @param {*} spans */
export function clockToSecond(utc_ms, spans) {
  const local_ms = utc_ms + spanAt(spans, utc_ms / SECOND_MS)[1] * SECOND_MS;
  return countdown(local_ms % DAY_MS).padStart(8, "0");
}

/** A plan's rows to compare, [clock, frame, file], from when frame 1 fired; null: as planned.
 *  @param {*} plan @param {*} sheet @param {number | null} fired_ms @param {Files} files @returns {string[][]} */
export function countsToCompare(plan, sheet, fired_ms, files) {
  const rows = fired_ms === null ? sheet.rolling : rollingFrom(plan, fired_ms);
  return rows.map(({ clock, frame, file }) => [clock, frame, fileNumber(files, Number(frame)) || file]);
}

/** As if the plan had begun when frame 1 fired. @param {*} plan @param {number} fired_ms */
function rollingFrom(plan, fired_ms) {
  const { start, end } = plan.window;
  const spans = plan.brief.place.zone.spans;
  const late_ms = fired_ms - start.utc_ms;
  const moved = { start: { utc_ms: fired_ms }, end: { utc_ms: end.utc_ms + late_ms } };
  const segments = plan.timing.segments.map((segment) => ({ ...segment, start_ms: segment.start_ms + late_ms }));
  const shown = { ...plan, timing: { ...plan.timing, segments }, window: { ...plan.window, ...moved } };
  return rollingRows(shown, spans, clocks(plan, spans));
}

/**
 * The button that keeps the moment, and what it kept.
 * @param {HTMLElement} place @param {*} spans @param {(utc_ms: number | null) => void} keep null takes it back
 */
export function makeFired(place, spans, keep) {
  const said = make("strong", { hidden: true });
  const button = make("button", { type: "button", disabled: true }, "Frame 1 fired now");
  const undo = make("button", { type: "button", disabled: true, hidden: true }, "Undo");
  said.setAttribute("role", "status");
  button.addEventListener("click", () => keep(Math.floor(Date.now() / SECOND_MS) * SECOND_MS));
  undo.addEventListener("click", () => keep(null));
  place.append(said, button, undo);
  return {
    /** @param {boolean} may */
    allow(may) {
      for (const one of [button, undo]) one.disabled = !may;
    },
    /** @param {number | null} fired_ms */
    show(fired_ms) {
      const known = fired_ms !== null;
      said.textContent = known ? `Frame 1 fired ${clockToSecond(fired_ms, spans)}` : "";
      said.hidden = undo.hidden = !known;
      button.hidden = known;
    },
  };
}
