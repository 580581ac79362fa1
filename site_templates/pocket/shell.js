// In place of app/shell.js: there is no store of the site to fill. It says whether ticks are kept, and holds the list
// of takes, which on the site stands with the list of shots.

import { make, part } from "./touch/dom.js";
import { calm } from "./touch/glove.js";
import { keepTyped } from "./touch/typed.js";
import { keepsNothing } from "./keep/idb.js";
import { logName, openLog } from "./takes/log.js";
import { siteOf } from "./keep/site.js";
import { showTakes } from "./takes/takes.js";

const INSIDE = "All of this lies in one file and asks for no signal.";
const LOST = [
  "Ticks go when this page is closed.",
  " The browser keeps nothing for a file opened this way: save the log before, at the end of the page.",
];
const KEPT = "Ticks are kept in this browser; another browser, or the file opened in another way, does not see them.";

/** @returns {ReturnType<typeof import("../app/shell.js").startShell>} */
export function startShell() {
  calm(document);
  keepTyped(document);
  const site = siteOf(document);
  const log = openLog(logName(site));
  log.then(sayWhatIsKept, () => {}); // why it cannot be opened is said by the page that wants to keep something
  const refresh = async () => {
    const place = make("div");
    part("takes").replaceChildren(place);
    await showTakes(place, site, log, () => {});
  };
  refresh();
  return { site, log, offline: { refresh } };
}

/** No link: what asks for nothing would lead nowhere without signal. */
function guideText() {
  return `The guide is not in it, but on the site: ${document.documentElement.dataset.base}guide/`;
}

function sayWhatIsKept() {
  const is_lost = keepsNothing();
  part("kept").hidden = !is_lost;
  part("kept").replaceChildren(make("strong", {}, LOST[0]), LOST[1]);
  part("offline").textContent = `${INSIDE} ${is_lost ? LOST[0] : KEPT} ${guideText()}`;
}
