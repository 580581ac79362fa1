// Cards and sheets as PDFs, kept on the phone where somebody asked for it: in a cache of their own, which lives
// through updates. What is kept always belongs to the version that is served.

import { make } from "../touch/dom.js";
import { makeHushed } from "../touch/hushed.js";
import { FULL, faultWords } from "./refused.js";
import { bytesOf, fetched, storedAt } from "./store.js";

/**
 * @typedef {import("./site.js").Site} Site
 * @typedef {import("./store.js").Card} Card
 * @typedef {{kept: Card[], open: Card[], changed: number}} Shelf open: to be fetched; changed: those of them that are there in another form
 */

const CACHE = "cards";

/** Cards of shots still to end, soonest first; then those gone by, latest first. @param {Card[]} cards @param {number} now_s */
function nextFirst(cards, now_s) {
  const isPast = (/** @type {Card} */ { until }) => until <= now_s;
  return [...cards].sort((a, b) => {
    if (isPast(a) !== isPast(b)) return isPast(a) ? 1 : -1;
    return (a.until - b.until) * (isPast(a) ? -1 : 1) || (a.path < b.path ? -1 : 1);
  });
}

/** Reads every kept card again and compares its hash. @param {Site} site @param {Card[]} cards @returns {Promise<Shelf>} */
async function look(site, cards) {
  /** @type {Shelf} */
  const shelf = { kept: [], open: [], changed: 0 };
  for (const card of cards) {
    if (await bytesOf(site, CACHE, card)) shelf.kept.push(card);
    else {
      shelf.open.push(card);
      if (await storedAt(site, CACHE, card.path)) shelf.changed += 1;
    }
  }
  return shelf;
}

/** Fetches one after the other; rejects with the first fault, after all that can be had are there.
 *  @param {Site} site @param {Card[]} open @param {(done: number) => void} progress */
async function fetchAll(site, open, progress) {
  const cache = await caches.open(site.prefix + CACHE);
  /** @type {unknown[]} */
  const faults = [];
  for (const [done, card] of open.entries()) {
    progress(done);
    const put = async () => cache.put(new URL(card.path, site.root), await fetched(site, card));
    await put().catch((error) => faults.push(error));
    if (faults.some((fault) => faultWords(fault) === FULL)) break;
  }
  if (faults.length > 0) throw faults[0];
}

/** Cards of shots that are gone from the catalog go too. @param {Site} site @param {Card[]} cards */
async function removeOthers(site, cards) {
  const listed = new Set(cards.map(({ path }) => new URL(path, site.root).href));
  const cache = await caches.open(site.prefix + CACHE);
  for (const { url } of await cache.keys()) if (!listed.has(url)) await cache.delete(url);
}

/**
 * The line about the cards. `look` is told the cards of the version that serves, and whether the host gives that
 * version now: only then are its cards to be had.
 * @param {Site} site @param {HTMLElement} element
 */
export function startCards(site, element) {
  const text = makeHushed("cards");
  const button = make("button", { type: "button", hidden: true });
  /** @type {Card[]} */
  let listed = [];
  element.append(text.place, button);
  button.addEventListener("click", () => alone(site, keep));
  return {
    /** @param {Card[]} cards @param {boolean} at_host */
    look(cards, at_host) {
      listed = nextFirst(cards, Date.now() / 1000);
      return alone(site, async () => {
        const wanted = await caches.has(site.prefix + CACHE);
        if (wanted && at_host) await keep();
        else say(wanted ? await look(site, listed) : { kept: [], open: listed, changed: 0 }, "");
      });
    },
  };

  async function keep() {
    const { open } = await look(site, listed);
    const progress = (/** @type {number} */ done) => {
      const size = megabytes(open.slice(done).reduce((sum, card) => sum + card.size, 0));
      tell("fetching", `Fetching card ${done + 1} of ${open.length}, ${size} to come: ${open[done].path}`, "");
    };
    const why = await fetchAll(site, open, progress).then(() => "", faultWords);
    await removeOthers(site, listed).catch(() => {});
    say(await look(site, listed), why);
  }

  /** @param {Shelf} shelf @param {string} why */
  function say({ kept, open, changed }, why) {
    if (listed.length === 0) return tell("none", "", "");
    if (open.length === 0) return tell("kept", `Cards kept: ${amount(kept)}`, "");
    const lacking =
      changed > 0 ? `${amount(open)} to fetch, ${changed} of them changed` : `${amount(open)} not on this phone`;
    const parts = [kept.length > 0 ? `${amount(kept)} kept` : "", lacking, why].filter(Boolean);
    return tell("open", `Cards: ${parts.join("; ")}`, "Keep cards");
  }

  /** @param {string} state @param {string} words @param {string} act */
  function tell(state, words, act) {
    element.dataset.cards = state;
    text.say(words, state === "fetching");
    button.textContent = act;
    button.hidden = act === "";
  }
}

/** @param {Card[]} cards */
function amount(cards) {
  const size = megabytes(cards.reduce((sum, card) => sum + card.size, 0));
  return `${cards.length} ${cards.length === 1 ? "file" : "files"}, ${size}`;
}

/** To a tenth of a megabyte, rounded half up. @param {number} bytes */
function megabytes(bytes) {
  const tenths = Math.max(1, Math.floor(bytes / 100000 + 0.5));
  return `${Math.floor(tenths / 10)}.${tenths % 10} MB`;
}

/** One tab of this site at a time fetches cards. @param {Site} site @param {() => Promise<void>} work */
function alone(site, work) {
  return "locks" in navigator ? navigator.locks.request(site.prefix + CACHE, work) : work();
}
