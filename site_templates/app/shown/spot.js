// The spot stood on instead of the catalog's place: asked of the phone by a tap, or typed.

import { fixed } from "../core/say.js";
import { distanceM } from "../core/spot.js";
import { make } from "../touch/dom.js";
import { KEYS, isSameSpot } from "./samespot.js";

const WAIT_MS = 60000; // a phone without signal finds its satellites slowly
const COARSE_M = 1000;
const NAMES = ["latitude", "longitude", "elevation, m"];
/** @type {Object<string, number>} */
const SIDES = { N: 1, S: -1, E: 1, W: -1 };
const MOST = [90, 180, 9000];
const LEAST = [-90, -180, -500];
const NUMBER = /^([-+\u2212]?)([0-9]{1,5}(?:[.,][0-9]{1,8})?)\s*°?\s*([NSEWnsew]?)$/;
const BY_HAND = "Or type it below.";
/** By the code of a GeolocationPositionError. Source: W3C, Geolocation, section 8. */
/** @type {Object<number, string>} */
const REFUSED = {
  1: `The phone's position was refused. Allow it for this page in the browser. ${BY_HAND}`,
  2: `The phone finds no position: out in the open it does better. ${BY_HAND}`,
  3: `No position within ${WAIT_MS / 1000} s: out in the open, try again. ${BY_HAND}`,
};

/** @typedef {import("./samespot.js").Spot} Spot */

/**
 * Fills the section.
 * @param {HTMLDetailsElement} box @param {Spot} place the catalog's
 * @param {(spot: Spot | null) => boolean} move whether a plan was found there; null: back to the place
 * @returns {{allow: (may: boolean) => void, show: (spot: Spot | null) => void}}
 */
export function makeSpot(box, place, move) {
  const ask = make("button", { type: "button" }, "Use the phone's position");
  const said = make("p");
  said.setAttribute("role", "status");
  const fields = NAMES.map((name) =>
    make("input", { type: "text", autocomplete: "off", maxLength: 20, ariaLabel: name }),
  );
  const typed = make("button", { type: "button" }, "Compute for this spot");
  const back = make("button", { type: "button", hidden: true }, "Back to the place");
  /** @type {Spot | null} */
  let shown = null;
  box.append(
    make("p", {}, "Sun, moon and core for where the rig really stands. The position stays on this phone."),
    ask,
    said,
    make("p", { className: "where" }, ...fields.map((field, at) => make("label", {}, NAMES[at], field))),
    typed,
    back,
  );

  /** @param {Spot} spot @param {string} by how it was found */
  function go(spot, by) {
    const away = metresText(distanceM(place, spot));
    const found = move(spot);
    if (!found) said.textContent = "No plan there: see above.";
    else if (isSameSpot(spot, place)) said.textContent = "That is the place's own position, as printed.";
    else said.textContent = `Computed for ${positionText(spot)}, ${away} from the place${by}.`;
  }

  ask.addEventListener("click", () => {
    if (!isSecureContext || !navigator.geolocation) {
      said.textContent = `At this address the browser gives no position: it wants https. ${BY_HAND}`;
      return;
    }
    said.textContent = "Asking the phone; without signal it can take a minute.";
    ask.disabled = true;
    const options = { enableHighAccuracy: true, timeout: WAIT_MS, maximumAge: 0 };
    const done = (/** @type {() => void} */ then) => {
      ask.disabled = false;
      then();
    };
    navigator.geolocation.getCurrentPosition(
      ({ coords }) => done(() => go(spotOf(coords, place), accuracyText(coords.accuracy))),
      ({ code }) => done(() => (said.textContent = REFUSED[code] ?? REFUSED[2])),
      options,
    );
  });

  typed.addEventListener("click", () => {
    const values = fields.map(({ value }, at) => numberOf(value, at));
    fields.forEach((field, at) => field.setAttribute("aria-invalid", String(values[at] === null)));
    const wrong = NAMES.filter((_, at) => values[at] === null);
    if (wrong.length > 0) {
      said.textContent = `Not to be read: ${wrong.join("; ")}. Write 37.0812 N, 8.6701 W, 12.`;
      return;
    }
    go(/** @type {Spot} */ (Object.fromEntries(KEYS.map((key, at) => [key, values[at]]))), "");
  });

  back.addEventListener("click", () => move(null));

  const allow = (/** @type {boolean} */ may) => {
    for (const one of [ask, typed, back, ...fields]) one.disabled = !may;
  };
  allow(false); // until there is a sky to compute with
  return {
    allow,
    show(spot) {
      const is_other = shown === null || spot === null ? shown !== spot : !isSameSpot(shown, spot);
      if (is_other) said.textContent = ""; // what it said was of the spot before
      shown = spot;
      back.hidden = spot === null;
      const texts = fieldTexts(spot ?? place);
      fields.forEach((field, at) => {
        if (field !== document.activeElement) field.value = texts[at];
      });
    },
  };
}

/** To a metre; without a height of its own, and at the place, whose is better known, with the place's.
 *  @param {GeolocationCoordinates} coords @param {Spot} place @returns {Spot} */
function spotOf({ latitude, longitude, altitude }, place) {
  const round = (/** @type {number} */ value, /** @type {number} */ parts) => Math.round(value * parts) / parts;
  const level = { ...place, latitude_deg: round(latitude, 1e5), longitude_deg: round(longitude, 1e5) };
  const { latitude_deg, longitude_deg, elevation_m } = level;
  const is_place = altitude === null || isSameSpot(level, place);
  return { latitude_deg, longitude_deg, elevation_m: is_place ? elevation_m : round(altitude, 1) };
}

/** What was typed, or null; "8.67 W" and "-8,67" are the same. @param {string} text @param {number} at which field */
function numberOf(text, at) {
  const found = NUMBER.exec(text.trim());
  if (!found) return null;
  const [, sign, digits, letter] = found;
  const side = letter.toUpperCase();
  if (side !== "" && (sign !== "" || !["NS", "EW", ""][at].includes(side))) return null;
  const value = Number(digits.replace(",", ".")) * (SIDES[side] ?? (sign === "" || sign === "+" ? 1 : -1));
  return LEAST[at] <= value && value <= MOST[at] ? value : null;
}

/** @param {Spot} spot */
function fieldTexts({ latitude_deg, longitude_deg, elevation_m }) {
  const north = `${fixed(Math.abs(latitude_deg), 5)} ${latitude_deg < 0 ? "S" : "N"}`;
  return [north, `${fixed(Math.abs(longitude_deg), 5)} ${longitude_deg < 0 ? "W" : "E"}`, fixed(elevation_m, 0)];
}

/** @param {Spot} spot */
function positionText(spot) {
  return fieldTexts(spot).slice(0, 2).join(", ");
}

/** @param {number} metres */
function metresText(metres) {
  return metres < 999.5 ? `${fixed(metres, 0)}\u00a0m` : `${fixed(metres / 1000, 1)}\u00a0km`;
}

/** @param {number} metres */
function accuracyText(metres) {
  return `; accurate to ${metresText(metres)}${metres > COARSE_M ? ", which is coarse: try again in the open" : ""}`;
}
