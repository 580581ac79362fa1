// Zeroing pan without a compass: what is up now or at a chosen moment, and what pan reads when it looks there.

import { nightsWithin } from "../core/anchors.js";
import { clockInstants, dayNumber, localDay } from "../core/civil.js";
import { bearing, bodyWord, clock, dayText, fixed } from "../core/say.js";
import { axesOf, figure } from "../core/sheet-figures.js";
import { make } from "../touch/dom.js";
import { clockToSecond } from "../takes/fired.js";
import { sentence } from "./nights.js";
import { lightsAt, toZeroOn } from "./zeroing.js";

/** @typedef {import("./zeroing.js").Light} Light @typedef {{utc_ms: number, is_now: boolean}} Moment @typedef {{why: string}} NoMoment */

const SECOND_MS = 1000;
const EVERY_MS = 5 * SECOND_MS; // the sky turns 0.02 degrees in that time
const NOON_S = 12 * 3600;
const EXAMPLE = "21:40";
const CLOCK = /^([01]?[0-9]|2[0-3])[:.]?([0-5][0-9])$/;
const CAUTION = "Never look at the sun through lens or viewfinder: cap on, turn by its shadow.";
const MANNER =
  "Level first. Turn the head until the light stands on the picture's middle line (by the sun: until the camera's " +
  "shadow falls straight back), then set pan to its number. The best come first: not low in the haze, not steep.";

/**
 * @typedef {{plan: Plan, reach: import("./nights.js").Reach}} Shown what the page shows now
 */

/**
 * Fills the section; it follows the clock while it is open.
 * @param {HTMLDetailsElement} box @param {() => Shown} shown
 * @returns {{show: () => void}} show: the plan or the sky has changed
 */
export function makeZero(box, shown) {
  const at = make("input", {
    type: "text",
    id: "zero-at",
    inputMode: "numeric",
    autocomplete: "off",
    maxLength: 5,
    placeholder: EXAMPLE,
  });
  const now = make("button", { type: "button" }, "Now");
  const asOf = make("p");
  const list = make("ul");
  list.className = "lights";
  asOf.setAttribute("role", "status");
  box.append(
    make("p", { className: "warning" }, make("strong", {}, CAUTION)),
    make("p", {}, MANNER),
    make("p", { className: "at" }, make("label", { htmlFor: at.id }, "now, or at"), at, now),
    asOf,
    list,
  );

  function show() {
    if (!box.open) return;
    const { plan, reach } = shown();
    const moment = momentOf(plan, at.value.trim());
    const why = whyNot(plan, reach, moment);
    const known = "why" in moment || why !== "" || reach.sky === null ? null : { ...moment, sky: reach.sky };
    const found = known ? toZeroOn(lightsAt(plan.brief, known.sky, known.utc_ms / SECOND_MS)) : { lights: [], why };
    asOf.textContent = known ? momentText(plan, known, found.why) : why;
    list.replaceChildren(...found.lights.map((light) => lightRow(light, plan.brief)));
    now.hidden = at.value === "";
  }

  at.addEventListener("change", show);
  now.addEventListener("click", () => {
    at.value = "";
    show();
  });
  box.addEventListener("toggle", show);
  setInterval(() => at.value === "" && show(), EVERY_MS);
  return { show };
}

/**
 * {utc_ms, is_now} of a clock time of the place in the night shown, "" is now; or {why} there is none.
 * @param {Plan} plan @param {string} text @returns {Moment | NoMoment}
 */
function momentOf(plan, text) {
  if (text === "") return { utc_ms: Math.floor(Date.now() / SECOND_MS) * SECOND_MS, is_now: true };
  const typed = CLOCK.exec(text);
  if (!typed) return { why: `Not a clock time: write ${EXAMPLE}.` };
  const clock_s = Number(typed[1]) * 3600 + Number(typed[2]) * 60;
  const { brief, window: window_ } = plan;
  const next_morning = brief.night.rule === "night" && clock_s < NOON_S;
  const day = dayNumber(window_.night) + Number(next_morning);
  const instants = clockInstants(brief.place.zone.spans, day, clock_s);
  return instants.length > 0
    ? { utc_ms: instants[0] * SECOND_MS, is_now: false }
    : { why: "The clocks skip that time." };
}

/**
 * Now, to the second, for the sky turns; a typed time as it was typed.
 * @param {Plan} plan @param {Moment} moment @param {string} why
 */
function momentText(plan, { utc_ms, is_now }, why) {
  const { spans } = plan.brief.place.zone;
  const at = is_now ? clockToSecond(utc_ms, spans) : clock(utc_ms, spans);
  const when = `${dayText(localDay(spans, utc_ms / SECOND_MS))}, ${at}`;
  return why === "" ? `As of ${when}:` : `As of ${when} ${why}.`;
}

/**
 * Why nothing can be computed, or "".
 * @param {Plan} plan @param {import("./nights.js").Reach} reach @param {Moment | NoMoment} moment
 */
function whyNot(plan, { sky, lack }, moment) {
  const [first, last] = sky ? nightsWithin(sky.span_s) : [0, -1];
  const night = dayNumber(plan.window.night);
  const has_night = first <= night && night <= last;
  if ("why" in moment && has_night) return moment.why;
  const at_s = "why" in moment ? NaN : moment.utc_ms / SECOND_MS;
  if (sky?.covers(at_s, at_s)) return "";
  if (has_night) return "The sky file does not reach this moment: give a clock time of the night above.";
  return `${sentence(lack)}: nothing can be computed for this night.`;
}

/** @param {Light} light @param {Brief} brief */
function lightRow({ body, azimuth_deg, altitude_deg, magnetic_deg, pan_deg }, brief) {
  const pan = /** @type {AxisShown} */ (axesOf(brief).find(({ name }) => name === "pan"));
  const compass = magnetic_deg === null ? "" : `, ${bearing(magnetic_deg)} mag`; // no compass is read closer
  return make(
    "li",
    {},
    make("b", {}, bodyWord(body)),
    make("b", {}, `pan ${figure(pan_deg ?? 0, pan)}°`),
    make("span", {}, `${tenths(azimuth_deg)} true${compass} · ${fixed(altitude_deg, 1)}° high`),
  );
}

/** A bearing to the tenth, never 360.0. @param {number} degrees */
function tenths(degrees) {
  const text = fixed(degrees, 1).padStart(5, "0");
  return `${text === "360.0" ? "000.0" : text}°`;
}
