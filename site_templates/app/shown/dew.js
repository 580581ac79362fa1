// Dew: what was expected, and what follows from the air as it is measured on site.

import { SPREAD_C, dewOf } from "../core/dew.js";
import { say, word } from "../core/say.js";
import { frameNow } from "./clock.js";
import { make } from "../touch/dom.js";
import { pairRows } from "../touch/pairs.js";

const HOUR_MS = 3600000;
const FIELDS = ["air_c", "dew_point_c", "humidity_pct", "falls_c"];

/**
 * Fills the section when it is opened.
 * @param {HTMLDetailsElement} box @param {() => {plan: Plan, sheet: Sheet}} shown
 * @returns {{show: () => void}}
 */
export function makeDew(box, shown) {
  const lines = make("tbody");
  const fields = FIELDS.map(() => make("input", { type: "text", autocomplete: "off", maxLength: 6 }));
  const labels = FIELDS.map((name, n) => make("label", {}, word(`dew.${name}`), fields[n]));
  const said = make("p");
  said.setAttribute("role", "status");
  box.append(
    make("table", { className: "pairs bodies" }, lines),
    make("p", {}, word("dew.measure")),
    make("p", { className: "where" }, ...labels),
    said,
  );
  box.addEventListener("toggle", show);
  for (const field of fields) field.addEventListener("input", tell);
  return { show };

  function show() {
    if (!box.open) return;
    lines.replaceChildren(...pairRows(shown().sheet.dew));
    tell();
  }

  function tell() {
    said.textContent = fateOf(
      shown().plan,
      fields.map(({ value }) => numberOf(value)),
      Date.now(),
    );
  }
}

/** A number as it is typed, null where there is none. @param {string} text */
function numberOf(text) {
  const number = Number(text.trim().replace(",", ".").replace("\u2212", "-"));
  return text.trim() === "" || !Number.isFinite(number) ? null : number;
}

/**
 * What the air means for the glass; "" while too little of it is known.
 * @param {Plan} plan @param {(number | null)[]} air @param {number} now_ms
 */
function fateOf(plan, [air_c, dew_point_c, humidity_pct, falls_c], now_ms) {
  if (air_c === null || (dew_point_c === null && humidity_pct === null)) return "";
  const is_one = dew_point_c === null || humidity_pct === null;
  const can_be = (dew_point_c ?? air_c) <= air_c && (humidity_pct ?? 1) > 0 && (humidity_pct ?? 1) <= 100;
  const dew = is_one && can_be ? dewOf({ air_c, dew_point_c, humidity_pct }) : null;
  if (dew === null) return word("dew.wrong");
  const measured = say("dew.measured", dew, []);
  const from_c = dew.settles_c + SPREAD_C;
  if (dew.likely) return `${measured}: ${word("dew.now")}`;
  if (falls_c === null || falls_c <= 0) return `${measured}: ${say("dew.unlikely", { from_c }, [])}`;
  const clock = now_ms + ((air_c - from_c) / falls_c) * HOUR_MS;
  const args = { clock, frame: frameNow(plan, clock), from_c };
  const id = args.frame === null ? "dew.later" : "dew.later-frame";
  return `${measured}: ${say(id, args, plan.brief.place.zone.spans)}`;
}
