// Turning a shot to another night: the sky that this takes, and the buttons that ask for it.

import { nightsWithin } from "./core/anchors.js";
import { dayNumber, isoDate } from "./core/civil.js";
import { readPack } from "./core/pack.js";
import { makeSky } from "./core/sky.js";
import { part } from "./dom.js";

/**
 * What another night asks for: the sky of all years that are to be had, and the place's tides; or null.
 * @param {URL} root @param {string[]} years @param {string} place
 */
export async function loadNights(root, years, place) {
  const tides = arrived(root, `tides/${place}.json`).then((response) => response.json());
  const [sky, table] = await Promise.all([loadSky(root, years), tides.catch(() => null)]);
  return sky && table ? { sky, tides: table } : null;
}

/** @param {URL} root @param {string} path */
async function arrived(root, path) {
  const response = await fetch(new URL(path, root));
  if (!response.ok) throw new Error(`${path} did not arrive`);
  return response;
}

/** @param {URL} root @param {string[]} years */
async function loadSky(root, years) {
  const loaded = await Promise.allSettled(
    years.map(async (year) => readPack(await (await arrived(root, `sky/${year}.pack`)).arrayBuffer())),
  );
  const packs = loaded.flatMap((result) => (result.status === "fulfilled" ? [result.value] : []));
  return packs.length > 0 ? makeSky(packs) : null;
}

/**
 * Lets the person choose a night within the sky's reach.
 * @param {[number, number]} span_s of the sky @param {() => string} shown the night on the page @param {string} printed
 * @param {(night: string) => void} turn
 */
export function listenForNights(span_s, shown, printed, turn) {
  const [first, last] = nightsWithin(span_s);
  const input = /** @type {HTMLInputElement} */ (part("night"));
  const step = (/** @type {number} */ days) => turn(isoDate(dayNumber(shown()) + days));
  input.min = isoDate(first);
  input.max = isoDate(last);
  // While a date is typed, the years 0002, 0020 and 0202 go by.
  input.addEventListener("change", () => input.value && input.validity.valid && turn(input.value));
  part("earlier").addEventListener("click", () => step(-1));
  part("later").addEventListener("click", () => step(1));
  part("printed").addEventListener("click", () => turn(printed));
  for (const id of ["night", "earlier", "later"]) /** @type {HTMLInputElement} */ (part(id)).disabled = false;
}
