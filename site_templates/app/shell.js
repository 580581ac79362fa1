// What every page has: its site, its log, calm under a glove, and the line that says what works without signal.

import { calm } from "./touch/glove.js";
import { logName, openLog } from "./takes/log.js";
import { startOffline } from "./keep/offline.js";
import { siteOf } from "./keep/site.js";

/**
 * Starts the parts that all pages share. `log` rejects where the browser refuses to store; call
 * `offline.refresh()` when a take was opened or ended.
 * @param {Promise<unknown>} first what the page is opened for: what is stored is looked at after it
 * @returns {{site: import("./keep/site.js").Site, log: Promise<import("./takes/log.js").Log>, offline: {refresh: () => Promise<void>}}}
 */
export function startShell(first = Promise.resolve()) {
  calm(document);
  const site = siteOf(document);
  const log = openLog(logName(site));
  log.catch(() => {}); // said by the page that wants to keep something
  // Where nothing can be stored no take can be open.
  const openShots = () =>
    log.then(async (opened) => [...new Set((await opened.openTakes()).map(({ shot }) => shot))]).catch(() => []);
  const element = /** @type {HTMLElement} */ (document.querySelector("#offline"));
  return { site, log, offline: startOffline(site, element, openShots, first) };
}
