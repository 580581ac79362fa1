// "Ready without signal": fetches whole versions of the site, says what is stored, and changes the version that
// is served only when the person asks for it and no take is open.

import { makeHushed } from "../touch/hushed.js";
import { startCards } from "./cards.js";
import { ADVICE, faultWords } from "./refused.js";
import { LIST, complete, fetchListing, readMark, removeOthers, setMark, storedListing, verify } from "./store.js";

const PATIENCE_MS = 3000;

/**
 * @typedef {import("./site.js").Site} Site
 * @typedef {{kind: "http" | "browser" | "looking"}
 *   | {kind: "fetching", done: number, of: number}
 *   | {kind: "ready", files: number, bytes: number}
 *   | {kind: "missing", missing: string[], why: string}} Stored
 * @typedef {{kind: "none" | "torn"} | {kind: "held" | "asked", shots: string[], version: string}
 *   | {kind: "offered", version: string} | {kind: "refused", version: string, why: string}} Newer
 */

/**
 * What the page says about its store, and the word on its button, if there is one.
 * @param {Stored} stored
 * @returns {{text: string, button: string}}
 */
function storedWords(stored) {
  switch (stored.kind) {
    case "http":
      return { text: "No offline store over plain http: open these sheets by https, or carry the card.", button: "" };
    case "browser":
      return { text: "This browser keeps no offline store: carry the card.", button: "" };
    case "looking":
      return { text: "Looking at what is stored …", button: "" };
    case "fetching":
      return { text: `Fetching ${stored.done + 1} of ${stored.of}`, button: "" };
    case "ready":
      return { text: `Ready without signal · ${stored.files} files, ${kilobytes(stored.bytes)} KB`, button: "" };
    case "missing":
      return { text: `Not ready without signal: ${missingWords(stored)}`, button: "Fetch again" };
  }
}

/**
 * What the page says about a newer version.
 * @param {Newer} newer
 * @returns {{text: string, button: string}}
 */
function newerWords(newer) {
  switch (newer.kind) {
    case "none":
      return { text: "", button: "" };
    case "torn":
      return { text: "A new version did not arrive whole. This one stays.", button: "" };
    case "held":
      return {
        text: `A new version of these sheets is here. It waits until the take is ended: ${newer.shots.join(", ")}.`,
        button: "Use it now",
      };
    case "asked":
      return {
        text: `The take goes on with its own plan, as it was begun: ${newer.shots.join(", ")}. Use the new version all the same?`,
        button: "Yes, use it",
      };
    case "offered":
      return { text: "A new version of these sheets is here", button: "Use it" };
    case "refused":
      return { text: `Not taken: ${newer.why}. This version stays.`, button: "Use it" };
  }
}

/**
 * Keeps `element` telling what is stored. `openShots` is asked before a new version is offered and again
 * before it is used. The returned `refresh` looks again: call it when a take was opened or ended.
 * @param {Site} site @param {HTMLElement} element @param {() => Promise<string[]>} openShots
 * @param {Promise<unknown>} first what goes before the first look; a page that never comes to it is looked at all the same
 * @returns {{refresh: () => Promise<void>}}
 */
export function startOffline(site, element, openShots, first) {
  const show = makeView(element, { fetchAgain: refresh, use });
  const cards = startCards(site, element);
  const tabs = "BroadcastChannel" in self ? new BroadcastChannel(site.prefix + "version") : null;
  /** @type {Promise<void> | null} */
  let running = null;
  tabs?.addEventListener("message", () => location.reload());
  addEventListener("online", refresh);
  Promise.race([first.catch(() => {}), patience()]).then(refresh);
  return { refresh };

  function refresh() {
    running ??= look().finally(() => {
      running = null;
    });
    return running;
  }

  async function look() {
    const lack = whatIsLacking();
    if (lack) return show.stored({ kind: lack });
    show.stored({ kind: "looking" });
    if (!(await register(site))) return show.stored({ kind: "browser" });
    const host = await alone(site, () => bringUpToDate(site, show, openShots)).catch((error) => {
      show.stored({ kind: "missing", missing: [], why: faultWords(error) });
      return "";
    });
    showCards(site, cards, host).catch(() => {}); // in their own time: they are large, and nothing waits for them
  }

  /** During a take only by a second tap. @param {string} version @param {string | undefined} from what was shown */
  async function use(version, from) {
    const shots = await openShots();
    const kind = from === "held" ? "asked" : "held";
    if (shots.length > 0 && from !== "asked") return show.newer({ kind, shots, version });
    const flipped = await alone(site, () => flip(site, version)).catch(faultWords);
    if (typeof flipped === "string") return show.newer({ kind: "refused", version, why: flipped });
    if (!flipped) return refresh();
    tabs?.postMessage(version);
    location.reload();
  }
}

/** A page that is damaged is mended from here. */
function patience() {
  return new Promise((over) => setTimeout(over, PATIENCE_MS));
}

/** The pointer moves only to a version that is whole at this very moment.
 *  @param {Site} site @param {string} version */
async function flip(site, version) {
  const { listing, missing } = await verify(site, version);
  if (!listing || missing.length) return false;
  await setMark(site, "serving", version);
  await removeOthers(site, [version]);
  return true;
}

/** @typedef {{stored: (stored: Stored) => void, newer: (newer: Newer) => void}} Show */

/**
 * One look at store and host: the first version, or a damaged one, is completed and serves at once; another
 * version is completed beside the one that serves, and offered.
 * @param {Site} site @param {Show} show @param {() => Promise<string[]>} openShots
 * @returns {Promise<string>} the version that the host gives, "" without signal
 */
async function bringUpToDate(site, show, openShots) {
  const serving = await readMark(site, "serving");
  const whole = serving !== "" && (await tell(site, show, serving, ""));
  const listing = await fetchListing(site).catch(() => null);
  if (!listing && !serving) show.stored({ kind: "missing", missing: [], why: "the list of files did not arrive" });
  if (listing && !(await takeIn(site, show, listing, serving, whole))) show.newer({ kind: "torn" });
  else await offer(site, show, openShots);
  return listing?.version ?? "";
}

/** Completes what the host gives; whether it arrived whole, or is told of already.
 *  @param {Site} site @param {Show} show @param {import("./store.js").Listing} listing
 *  @param {string} serving @param {boolean} whole whether the version that serves is */
async function takeIn(site, show, listing, serving, whole) {
  if (!serving || (listing.version === serving && !whole)) {
    await completeToServe(site, show, listing);
  } else {
    const arrived = await complete(site, listing, () => {}).then(
      () => true,
      () => false,
    );
    if (!arrived) return false;
    await setMark(site, "offered", listing.version);
  }
  await removeOthers(site, [serving, listing.version]);
  return true;
}

/** @param {Site} site @param {Show} show @param {import("./store.js").Listing} listing */
async function completeToServe(site, show, listing) {
  const told = (/** @type {number} */ done, /** @type {number} */ of) => show.stored({ kind: "fetching", done, of });
  const why = await complete(site, listing, told).then(() => "", faultWords);
  await tell(site, show, listing.version, why, () => setMark(site, "serving", listing.version));
}

/** Shows what the hashes of a stored version say; whether it is whole. `first` is done before it is said to be.
 *  @param {Site} site @param {Show} show @param {string} version @param {string} why */
async function tell(site, show, version, why, first = async () => {}) {
  const { missing, files, bytes } = await verify(site, version);
  if (missing.length === 0) await first();
  show.stored(missing.length ? { kind: "missing", missing, why } : { kind: "ready", files, bytes });
  return missing.length === 0;
}

/** Offers the version that waits, if it is another one and whole. Asks no host, so an offer outlives the signal.
 *  @param {Site} site @param {Show} show @param {() => Promise<string[]>} openShots */
async function offer(site, show, openShots) {
  const serving = await readMark(site, "serving");
  const version = await readMark(site, "offered");
  if (!serving || !version || version === serving) return show.newer({ kind: "none" });
  const { listing, missing } = await verify(site, version);
  if (!listing) return show.newer({ kind: "none" });
  if (missing.length) return show.newer({ kind: "torn" });
  const shots = await openShots();
  show.newer({ kind: shots.length > 0 ? "held" : "offered", shots, version });
}

/** @param {Site} site @param {ReturnType<typeof startCards>} cards @param {string} host the version that the host gives */
async function showCards(site, cards, host) {
  const serving = await readMark(site, "serving");
  const listing = serving ? await storedListing(site, serving) : null;
  await cards.look(listing?.cards ?? [], serving !== "" && host === serving);
}

function whatIsLacking() {
  if (!isSecureContext) return "http";
  return "serviceWorker" in navigator && "caches" in self ? null : "browser";
}

/** @param {Site} site */
async function register(site) {
  const url = new URL(`worker.js?catalog=${encodeURIComponent(site.catalog)}`, site.root);
  try {
    await navigator.serviceWorker.register(url, { scope: site.root.pathname, updateViaCache: "none" });
    await caches.keys();
    return true;
  } catch {
    return (await navigator.serviceWorker.getRegistration(site.root).catch(() => undefined)) !== undefined;
  }
}

/** One tab of this site at a time works on the store. A page that is left has had its turn: WebKit of 2022 keeps it,
 *  and what it holds, and the next page would wait for ever.
 *  @template T @param {Site} site @param {() => Promise<T>} work @returns {Promise<T>} */
function alone(site, work) {
  if (!("locks" in navigator)) return work();
  return new Promise((done, failed) => {
    const turn = () => {
      const working = work();
      working.then(done, failed);
      return Promise.race([working.catch(() => {}), left()]);
    };
    navigator.locks.request(site.prefix + "store", turn).catch(failed);
  });
}

/** When this page is left. @returns {Promise<unknown>} */
function left() {
  return new Promise((gone) => addEventListener("pagehide", gone, { once: true }));
}

/**
 * @param {HTMLElement} element
 * @param {{fetchAgain: () => void, use: (version: string, from: string | undefined) => void}} acts
 * @returns {Show}
 */
function makeView(element, acts) {
  const store = line(element, "stored");
  const update = line(element, "newer");
  store.button.addEventListener("click", () => acts.fetchAgain());
  update.button.addEventListener("click", () => acts.use(update.button.value, element.dataset.newer));
  return {
    stored(stored) {
      element.dataset.stored = stored.kind;
      store.say(storedWords(stored), stored.kind === "fetching" || stored.kind === "looking");
    },
    newer(newer) {
      element.dataset.newer = newer.kind;
      update.button.value = "version" in newer ? newer.version : "";
      update.say(newerWords(newer));
    },
  };
}

/** A line of text with a button that hides while it has no word. @param {HTMLElement} element @param {string} name */
function line(element, name) {
  const text = makeHushed(name);
  const button = document.createElement("button");
  button.type = "button";
  button.hidden = true;
  element.append(text.place, button);
  /** @param {{text: string, button: string}} words */
  const say = (words, is_on_the_way = false) => {
    text.say(words.text, is_on_the_way);
    button.textContent = words.button;
    button.hidden = words.button === "";
  };
  return { button, say };
}

/** @param {{missing: string[], why: string}} stored */
function missingWords({ missing, why }) {
  const named = missing.slice(0, 3).join(", ");
  const more = missing.length > 3 ? ` and ${missing.length - 3} more` : "";
  const lacking = missing.length && missing[0] !== LIST ? `${named}${more} missing` : "";
  const said = [lacking, why].filter(Boolean).join("; ") || "nothing is stored yet";
  return ADVICE[why] ? `${said}. ${ADVICE[why]}` : said;
}

/** @param {number} bytes */
function kilobytes(bytes) {
  return Math.floor(bytes / 1000 + 0.5);
}
