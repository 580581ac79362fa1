// Turning a shot to another night: the sky that this takes, and the buttons that ask for it.

import { nightsWithin } from "../core/anchors.js";
import { dayNumber, isoDate } from "../core/civil.js";
import { readPack } from "../core/pack.js";
import { dayText } from "../core/say.js";
import { makeSky } from "../core/sky.js";
import { part, tell } from "../touch/dom.js";
import { arrived } from "../keep/host.js";

/** @typedef {import("../core/pack.js").Pack} Pack */

const SETTLED_MS = 2000; // the first moments of a page are for ticks
const TYPED_OUT = "1000"; // while a date is typed, the years 0002, 0020 and 0202 go by
const ABSENT = "not on this phone";
const DAMAGED = "damaged";

/**
 * What can be computed with, and what is missing of it, in words that begin small.
 * @typedef {object} SkyReach
 * @property {import("../core/sky.js").Sky | null} sky null where no sky file is sound
 * @property {Place["tides"] | null} tides of the place
 * @property {string} lack what is wrong with the sky files; "" where all are here
 * @property {string} bar why no other night can be computed, "" where some can
 *
 * @typedef {SkyReach & {makePlan: typeof import("../core/plan.js").planning | null}} Reach
 *   makePlan: what computes, which comes after what a take needs; null only where there is a bar
 */

const UNDERWAY = "the sky file is still on its way";
/** Until it has arrived. @type {Reach} */
export const AWAITED = { sky: null, tides: null, lack: UNDERWAY, bar: UNDERWAY, makePlan: null };

/**
 * @param {URL} root @param {string[]} years @param {string | null} place null: its table of tides is here already
 * @param {string} night the printed one
 * @returns {Promise<SkyReach>}
 */
export async function loadNights(root, years, place, night) {
  const table =
    place === null
      ? { value: [] }
      : read(root, `tides/${place}.json`, (bytes) => JSON.parse(new TextDecoder().decode(bytes)));
  const files = await Promise.all(years.map((year) => read(root, `sky/${year}.pack`, readPack)));
  const sky = skyAround(
    files.flatMap((file) => ("value" in file ? [file.value] : [])),
    Number(night.slice(0, 4)),
  );
  const lack = lackText(years, files);
  const tides = await table;
  const untold = "value" in tides ? "" : `the table of tides is ${tides.fault}`;
  return { sky, tides: tides.value ?? null, lack, bar: sky === null ? lack : untold };
}

/** What the page says of it on top; "" where nothing is missing. @param {Reach} reach */
export function lostText({ lack, bar }) {
  if (bar !== "") return `${sentence(bar)}: the printed night only.`;
  return lack === "" ? "" : `${sentence(lack)}: no plan for nights that need it.`;
}

/** With a capital. @param {string} text */
export function sentence(text) {
  return text.charAt(0).toUpperCase() + text.slice(1);
}

/** A file's value, or its fault. @param {URL} root @param {string} path @param {(bytes: ArrayBuffer) => *} parse */
async function read(root, path, parse) {
  const bytes = await arrived(root, path).catch(() => null);
  if (bytes === null) return { fault: ABSENT };
  try {
    return { value: parse(bytes) };
  } catch {
    return { fault: DAMAGED };
  }
}

/** Which years' files have which fault. @param {string[]} years @param {{fault?: string}[]} files */
function lackText(years, files) {
  const told = [DAMAGED, ABSENT].flatMap((fault) => {
    const such = years.filter((_, at) => files[at].fault === fault);
    const [files_of, are] = such.length === 1 ? ["file of", "is"] : ["files of", "are"];
    return such.length === 0 ? [] : [`the sky ${files_of} ${such.join(", ")} ${are} ${fault}`];
  });
  return told.join(", ");
}

/**
 * The sky of the years around one without a gap, or the nearest to it; null without any.
 * @param {Pack[]} packs @param {number} year
 */
function skyAround(packs, year) {
  if (packs.length === 0) return null;
  const here = new Map(packs.map((pack) => [pack.year, pack]));
  const first = packs.map((pack) => pack.year).sort((a, b) => Math.abs(a - year) - Math.abs(b - year))[0];
  const run = [first];
  for (let next = first + 1; here.has(next); next += 1) run.push(next);
  for (let next = first - 1; here.has(next); next -= 1) run.push(next);
  return makeSky(packs.filter((pack) => run.includes(pack.year)));
}

/**
 * Lets the person choose a night within the sky's reach.
 * @param {[number, number]} span_s of the sky @param {() => string} shown the night on the page
 * @param {(night: string) => void} turn @param {(night: string) => Promise<void>} foresee is told what may be next
 */
export function listenForNights(span_s, shown, turn, foresee) {
  const [first, last] = nightsWithin(span_s);
  const input = /** @type {HTMLInputElement} */ (part("night"));
  const beside = (/** @type {number} */ days) => isoDate(dayNumber(shown()) + days);
  const step = (/** @type {number} */ days) => {
    turn(beside(days));
    foresee(beside(days));
  };
  input.parentElement?.querySelector("b")?.setAttribute("aria-live", "polite"); // which night a button came to
  input.min = isoDate(first);
  input.max = isoDate(last);
  const refuse = () => {
    const asked = dayText(dayNumber(input.value));
    const span = `nights can be asked for from ${dayText(first)} to ${dayText(last)}`;
    tell("refused", `No plan for ${asked}: ${span}. The page still shows ${dayText(dayNumber(shown()))}.`);
  };
  input.addEventListener("change", () => {
    if (input.value === "") return;
    if (input.validity.valid) turn(input.value);
    else if (input.value >= TYPED_OUT) refuse();
  });
  input.addEventListener("blur", () => {
    if (input.value !== "" && !input.validity.valid) refuse();
    input.value = shown();
  });
  part("earlier").addEventListener("click", () => step(-1));
  part("later").addEventListener("click", () => step(1));
  for (const id of ["night", "earlier", "later"]) /** @type {HTMLInputElement} */ (part(id)).disabled = false;
  setTimeout(async () => {
    await foresee(beside(1));
    await foresee(beside(-1));
  }, SETTLED_MS);
}
