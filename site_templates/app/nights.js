// Turning a shot to another night: the sky that this takes, and the buttons that ask for it.

import { nightsWithin } from "./core/anchors.js";
import { dayNumber, isoDate } from "./core/civil.js";
import { readPack } from "./core/pack.js";
import { makeSky } from "./core/sky.js";
import { part } from "./dom.js";

/**
 * What another night asks for: the sky and the place's tides, each null where it is not to be had; lost: in words,
 * what cannot be computed for want of them, "" where all is there.
 * @param {URL} root @param {string[]} years @param {string} place @param {string} night the printed one
 */
export async function loadNights(root, years, place, night) {
  const table = arrived(root, `tides/${place}.json`).then((response) => response.json());
  const [packs, tides] = await Promise.all([loadPacks(root, years), table.catch(() => null)]);
  const sky = skyAround(packs, Number(night.slice(0, 4)));
  return { sky, tides, lost: lostText(years, packs, sky, tides) };
}

/** @param {URL} root @param {string} path */
async function arrived(root, path) {
  const response = await fetch(new URL(path, root));
  if (!response.ok) throw new Error(`${path} did not arrive`);
  return response;
}

/** The packs that arrive sound. @param {URL} root @param {string[]} years */
async function loadPacks(root, years) {
  const loaded = await Promise.allSettled(
    years.map(async (year) => readPack(await (await arrived(root, `sky/${year}.pack`)).arrayBuffer())),
  );
  return loaded.flatMap((result) => (result.status === "fulfilled" ? [result.value] : []));
}

/** The sky of the years around one without a gap, or the nearest to it; null without any. */
function skyAround(packs, year) {
  if (packs.length === 0) return null;
  const here = new Map(packs.map((pack) => [pack.year, pack]));
  const first = packs.map((pack) => pack.year).sort((a, b) => Math.abs(a - year) - Math.abs(b - year))[0];
  const run = [here.get(first)];
  for (let next = first + 1; here.has(next); next += 1) run.push(here.get(next));
  for (let next = first - 1; here.has(next); next -= 1) run.push(here.get(next));
  return makeSky(run);
}

/** What is missing, and what that costs. */
function lostText(years, packs, sky, tides) {
  if (sky === null) return "The sky file is not on this phone, or damaged: the printed night only.";
  if (tides === null) return "The table of tides is not on this phone, or damaged: the printed night only.";
  const missing = years.filter((year) => !packs.some((pack) => pack.year === Number(year)));
  if (missing.length === 0) return "";
  return `The sky file of ${missing.join(", ")} is not on this phone, or damaged: no plan for nights that need it.`;
}

/**
 * Lets the person choose a night within the sky's reach.
 * @param {[number, number]} span_s of the sky @param {() => string} shown the night on the page
 * @param {(night: string) => void} turn
 */
export function listenForNights(span_s, shown, turn) {
  const [first, last] = nightsWithin(span_s);
  const input = /** @type {HTMLInputElement} */ (part("night"));
  const step = (/** @type {number} */ days) => turn(isoDate(dayNumber(shown()) + days));
  input.min = isoDate(first);
  input.max = isoDate(last);
  // While a date is typed, the years 0002, 0020 and 0202 go by.
  input.addEventListener("change", () => input.value && input.validity.valid && turn(input.value));
  part("earlier").addEventListener("click", () => step(-1));
  part("later").addEventListener("click", () => step(1));
  for (const id of ["night", "earlier", "later"]) /** @type {HTMLInputElement} */ (part(id)).disabled = false;
}
