// When frame 1 fired, to the second: one tap, and the counts to compare that follow from it.

import { spanAt } from "../core/civil.js";
import { countdown, make, put } from "../touch/dom.js";

const SECOND_MS = 1000;
const DAY_MS = 24 * 3600 * SECOND_MS;
const LONGEST_AGO_MS = DAY_MS / 2;
const FILE_NUMBER = /^[0-9]{1,8}$/;
const CLOCK = /^([0-9]{1,2})[:. ]?([0-9]{2})(?:[:. ]?([0-9]{2}))?$/;
const NO_MOMENT = "Not kept: type an earlier moment tonight, such as 19:36:05.";

/**
 * How a camera counts its files: the first one's number as it was typed, how many frames before frame 1 it was of, and
 * the last number before it begins at 1 again.
 * @typedef {{first: string, before: number, roll: number}} Files
 */

/** The number of the file that a frame is in; "" where what was typed is no number that this camera counts to.
 *  @param {Files} files @param {number} frame */
export function fileNumber({ first, before, roll }, frame) {
  const number = Number(first);
  if (!FILE_NUMBER.test(first) || number < 1 || number > roll) return "";
  return String(((number + before + frame - 2) % roll) + 1).padStart(first.length, "0");
}

/** Clock time of the place to the second. @param {number} utc_ms @param {Span[]} spans */
export function clockToSecond(utc_ms, spans) {
  const local_ms = utc_ms + spanAt(spans, utc_ms / SECOND_MS)[1] * SECOND_MS;
  return countdown(local_ms % DAY_MS).padStart(8, "0");
}

/** A plan's rows to compare, [clock, frame, file]. @param {Sheet} sheet @param {Files} files @returns {string[][]} */
export function countsToCompare(sheet, files) {
  return sheet.rolling.map(({ clock, frame, file }) => [clock, frame, fileNumber(files, Number(frame)) || file]);
}

/**
 * The last moment at which the place's clock showed what is typed, "19:36:05" or "19:36"; null where that is no clock
 * time, or longer ago than a shot is set up and missed.
 * @param {string} typed @param {Span[]} spans @param {number} now_ms
 */
export function earlierMoment(typed, spans, now_ms) {
  const [, hours, minutes, seconds] = (CLOCK.exec(typed.trim()) ?? []).map(Number);
  if (hours === undefined || hours > 23 || minutes > 59 || seconds > 59) return null;
  const offset_ms = spanAt(spans, now_ms / SECOND_MS)[1] * SECOND_MS;
  const of_day_ms = ((hours * 60 + minutes) * 60 + (seconds || 0)) * SECOND_MS;
  const ago_ms = (((now_ms + offset_ms - of_day_ms) % DAY_MS) + DAY_MS) % DAY_MS;
  return ago_ms > LONGEST_AGO_MS ? null : Math.floor((now_ms - ago_ms) / SECOND_MS) * SECOND_MS;
}

/**
 * The button that keeps the moment, and what it kept.
 * @param {HTMLElement} place @param {Span[]} spans @param {(utc_ms: number | null) => void} keep null takes it back
 */
export function makeFired(place, spans, keep) {
  const said = make("strong", { hidden: true });
  const button = make("button", { type: "button", disabled: true }, "Frame 1 fired now");
  const undo = make("button", { type: "button", disabled: true, hidden: true }, "Undo");
  said.setAttribute("role", "status");
  button.addEventListener("click", () => keep(Math.floor(Date.now() / SECOND_MS) * SECOND_MS));
  undo.addEventListener("click", () => keep(null));
  const { fold, allow } = makeByHand(spans, keep);
  place.append(said, button, undo, fold);
  return {
    /** @param {boolean} may */
    allow(may) {
      for (const one of [button, undo]) one.disabled = !may;
      allow(may);
    },
    /** @param {number | null} fired_ms */
    show(fired_ms) {
      const known = fired_ms !== null;
      put(said, known ? `Frame 1 fired ${clockToSecond(fired_ms, spans)}` : "");
      said.hidden = undo.hidden = !known;
      button.hidden = known;
    },
  };
}

/** For a tap that was missed, or came late. @param {Span[]} spans @param {(utc_ms: number) => void} keep */
function makeByHand(spans, keep) {
  const field = make("input", {
    type: "text",
    inputMode: "numeric",
    maxLength: 8,
    autocomplete: "off",
    placeholder: "19:36:05",
    disabled: true,
  });
  const button = make("button", { type: "button", disabled: true }, "Keep");
  const said = make("p", { hidden: true });
  said.setAttribute("role", "alert");
  const label = make("label", {}, "frame 1 fired at ", field);
  const fold = make(
    "details",
    { className: "by-hand" },
    make("summary", {}, "Set the time by hand"),
    label,
    button,
    said,
  );
  button.addEventListener("click", () => {
    const utc_ms = earlierMoment(field.value, spans, Date.now());
    field.setAttribute("aria-invalid", String(utc_ms === null));
    said.textContent = utc_ms === null ? NO_MOMENT : "";
    said.hidden = utc_ms !== null;
    if (utc_ms === null) return;
    keep(utc_ms);
    field.value = "";
    fold.open = false;
  });
  const allow = (/** @type {boolean} */ may) => {
    for (const one of [field, button]) one.disabled = !may;
  };
  return { fold, allow };
}
