// What belongs to this tab and outlives its reload: which shot it shows and, where the browser keeps nothing, what was
// ticked and the light of the screen. It lies in the tab's history, the one store that a file is never refused; every place in the page that was
// jumped to is an entry of it.

/** @typedef {{shot: string, bases: Object<string, *>, theme?: string}} Tab shot: "" before one is chosen */

const tab = /** @type {Tab} */ (history.state?.tab ?? { shot: "", bases: {} });

for (const kind of ["popstate", "hashchange"]) addEventListener(kind, arrive);
document.addEventListener("click", ({ target }) => {
  if (/** @type {Element} */ (target).closest("[data-set-theme]")) write("replaceState"); // theme.js has heard it before
});

/** The shot that this tab shows. */
export function shotOfTab() {
  return tab.shot;
}

/** Shows another shot, as a step that the way back undoes. @param {string} shot */
export function stepTo(shot) {
  tab.shot = shot;
  write("pushState");
}

/** To the list of all shots, with the page as new. */
export function leaveShot() {
  tab.shot = "";
  write("replaceState");
  location.reload();
}

/** @param {string} name of a base @returns {*} undefined where the tab holds none */
export function ofTab(name) {
  return tab.bases[name];
}

/** @param {string} name of a base @param {object} rows */
export function putInTab(name, rows) {
  tab.bases[name] = rows;
  write("replaceState");
}

/** An entry that was come to: a new place in this shot, or one from before, whose ticks are older than the tab's. */
function arrive() {
  const shot = history.state?.tab.shot ?? tab.shot;
  const is_other = shot !== tab.shot;
  tab.shot = shot;
  write("replaceState");
  if (is_other) location.reload();
}

/** @param {"pushState" | "replaceState"} how */
function write(how) {
  tab.theme = document.documentElement.dataset.theme;
  try {
    history[how]({ tab }, "");
  } catch {
    // Too much, or too often: it still holds until the page is closed.
  }
}
