// What every page has: its site, its log, calm under a glove, and the line that says what works without signal.

import { calm } from "./touch/glove.js";
import { logName, openLog } from "./takes/log.js";
import { MARK } from "./keep/mark.js";
import { startOffline } from "./keep/offline.js";
import { siteOf } from "./keep/site.js";
import { make } from "./touch/dom.js";
import { keepTyped } from "./touch/typed.js";

const TORN = "This page is of two versions: load it again, or use the card.";

/**
 * Starts the parts that all pages share. `log` rejects where the browser refuses to store; call
 * `offline.refresh()` when a take was opened or ended.
 * @param {Promise<unknown>} first what the page is opened for: what is stored is looked at after it
 * @returns {{site: import("./keep/site.js").Site, log: Promise<import("./takes/log.js").Log>, offline: {refresh: () => Promise<void>}}}
 */
export function startShell(first = Promise.resolve()) {
  calm(document);
  keepTyped(document);
  if (document.querySelector("meta[name=generator]")?.getAttribute("content") !== MARK) mend();
  const site = siteOf(document);
  const log = openLog(logName(site));
  log.catch(() => {}); // said by the page that wants to keep something
  // Where nothing can be stored no take can be open.
  const openShots = () =>
    log.then(async (opened) => [...new Set((await opened.openTakes()).map(({ shot }) => shot))]).catch(() => []);
  const element = /** @type {HTMLElement} */ (document.querySelector("#offline"));
  return { site, log, offline: startOffline(site, element, openShots, first) };
}

/**
 * A page that was read while another version took its place has markup of the one and scripts of the other: it is loaded
 * again. One that is torn still, as a host gives it in the middle of a change, says so and goes on.
 */
function mend() {
  const [came] = /** @type {PerformanceNavigationTiming[]} */ (performance.getEntriesByType("navigation"));
  if (came && came.type !== "reload") {
    location.reload();
    throw new Error(TORN); // nothing begins on a page that goes
  }
  document.querySelector("main")?.prepend(make("p", { className: "warning", role: "alert" }, TORN));
}
