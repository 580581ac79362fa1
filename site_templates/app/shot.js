// The script of a shot's page: it shows as printed before what works it (first.js) is sent for.

const PATIENCE_MS = 250; // a page that is not in front is not painted

const paint = new Promise((shown) => new PerformanceObserver(shown).observe({ type: "paint", buffered: true }));
const patience = new Promise((over) => setTimeout(over, PATIENCE_MS));

Promise.any([paint, patience]) // a browser may not tell of its paint
  .then(() => import("./first.js"))
  .catch(tellLost);

/** By itself: what others tell with has not come either. @param {unknown} error @returns {never} */
function tellLost(error) {
  const lost = /** @type {HTMLElement} */ (document.getElementById("lost"));
  lost.setAttribute("role", "alert");
  lost.textContent ||= "A part of this page did not load: load it again, or use the card.";
  lost.hidden = false;
  throw error;
}
