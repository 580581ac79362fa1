// Plans that this phone keeps beside the site's own shots, as a list: each opens, and is deleted by two taps.

import { dayNumber } from "../core/civil.js";
import { dayText } from "../core/say.js";
import { make } from "../touch/dom.js";
import { openPlans } from "./keptplans.js";
import { logWords } from "../takes/log.js";
import { PlanFileError, readPlan } from "../codes/planfile.js";
import { refill } from "../touch/refill.js";
import { twice } from "../touch/twice.js";

/**
 * Shows them, where there are any.
 * @param {HTMLElement} place @param {import("../keep/site.js").Site} site
 */
export async function showPlans(place, site) {
  const plans = openPlans(site);
  const list = make("ul", { className: "rows" });
  const fault = make("p", { className: "warning", hidden: true });
  fault.setAttribute("role", "alert");
  const box = make("section", {}, make("h2", {}, "Plans from elsewhere"), fault, list);
  await show();

  async function show() {
    const kept = await plans.all().catch(() => []); // where nothing can be kept, none is
    refill(list, ...kept.map(rowOf));
    if (kept.length === 0) box.remove();
    else place.append(box);
  }

  /** @param {import("./keptplans.js").Kept} kept */
  function rowOf({ name, text }) {
    const { letter, title, lines } = toldOf(text);
    const parts = make("span", {}, make("strong", {}, title), ...lines.map((line) => make("i", {}, line)));
    const link = make("a", { href: new URL(`open/#k=${name}`, site.root).href }, make("b", {}, letter), parts);
    const remove = twice("Delete", "Tap again: delete it");
    remove.button.setAttribute("aria-description", title);
    remove.twice(() => removeOne(name));
    return make("li", {}, link, remove.button);
  }

  /** @param {string} name */
  async function removeOne(name) {
    try {
      await plans.remove(name);
      await show();
    } catch (error) {
      fault.textContent = logWords(/** @type {Error} */ (error));
      fault.hidden = false;
    }
  }
}

/** What a row says of a plan; of one that cannot be read, that. @param {string} text */
function toldOf(text) {
  try {
    const { brief, revision } = readPlan(text);
    const when = dayText(dayNumber(brief.night.date));
    return {
      letter: brief.rig.letter,
      title: brief.shot.title,
      lines: [`${when} · revision ${revision}`, brief.place.title],
    };
  } catch (error) {
    if (!(error instanceof PlanFileError)) throw error;
    return { letter: "?", title: "A plan that cannot be read", lines: [error.message] };
  }
}
