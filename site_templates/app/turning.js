// Turning the page of a shot to another night, start or spot and back: what is asked for, what comes of it, and what
// is refused.

import { dayNumber } from "./core/civil.js";
import { plan as makePlan } from "./core/plan.js";
import { PlanProblem } from "./core/problem.js";
import { dayText, say } from "./core/say.js";
import { makeSheet } from "./core/sheet.js";
import { part, tell } from "./dom.js";
import { isSameSpot } from "./spot.js";

const UNDERLINED = "Underlined values differ from the card.";

/**
 * @typedef {{night?: string, start_ms?: number, spot?: import("./spot.js").Spot, exposure_shift_ev?: number}} Changes
 * {}: as printed
 */

/**
 * @param {*} printed the printed plan
 * @param {string} kept_as a name in the tab's own store: what is asked for outlives a reload there, though no take is begun
 * @param {object} page
 * @param {() => import("./nights.js").Reach} page.reach
 * @param {{plan: *, sheet: import("./bind.js").Sheet}} page.face what is shown
 * @param {(plan: *) => void} page.show
 * @param {(may: boolean) => void} page.allow whether anything may be ticked
 * @param {(changes: Changes) => void} page.keep with the take, where one is open
 */
export function makeTurning(printed, kept_as, { reach, face, show, allow, keep }) {
  /** What the page should show; where that cannot be computed it shows something else and is locked. @type {Changes} */
  let asked = kept(kept_as);
  let is_of_take = false;
  let is_taken_up = false;

  return {
    /** Takes up what the open take is for, or without one what was asked for last. @param {Changes | null} of_take */
    takeUp(of_take) {
      is_of_take = of_take !== null;
      is_taken_up = true;
      asked = tidied(of_take ?? asked);
      store(kept_as, asked);
      const found = same(asked, face.plan.changes) ? { plan: face.plan } : computed(asked);
      allow("plan" in found);
      if ("plan" in found) {
        tell("refused", "");
        show(found.plan);
      }
      showBanner("why" in found ? found.why : "");
    },
    /** Turns the page, if there is such a plan; else it says why not and the page stays. @param {Changes} to */
    change(to) {
      const changes = tidied(to);
      const found = computed(changes);
      if ("why" in found) {
        const what = same(changes.spot, face.plan.changes.spot) ? "night" : "spot";
        tell("refused", `No plan for that ${what}: ${found.why}. The page still shows ${face.sheet.night}.`);
        show(face.plan);
        return false;
      }
      asked = changes;
      store(kept_as, changes);
      keep(changes);
      tell("refused", "");
      show(found.plan);
      showBanner("");
      allow(is_taken_up);
      return true;
    },
    /** The shot on another night, with whatever else is changed now. @param {string} night */
    planned: (night) => computed(tidied({ ...face.plan.changes, night })),
  };

  /** Always in the same order and without what is as printed, so that equal changes read alike. @returns {Changes} */
  function tidied({ night, start_ms, spot, exposure_shift_ev }) {
    return {
      ...(night === undefined || night === printed.window.night ? {} : { night }),
      ...(start_ms === undefined ? {} : { start_ms }),
      ...(!spot || isSameSpot(spot, printed.brief.place) ? {} : { spot }),
      ...(exposure_shift_ev ? { exposure_shift_ev } : {}),
    };
  }

  /** What is printed needs no sky. @param {Changes} changes @returns {import("./others.js").Computed} */
  function computed(changes) {
    if (same(changes, {})) return { plan: printed, sheet: face.printed_sheet };
    const { sky, bar } = reach();
    if (bar !== "") return { why: bar };
    try {
      const plan = { ...makePlan(printed.brief, sky, changes), revision: printed.revision };
      return { plan, sheet: makeSheet(plan) };
    } catch (error) {
      if (!(error instanceof PlanProblem)) throw error;
      return { why: say(`${error.id}.found`, error.args, printed.brief.place.zone.spans) };
    }
  }

  /** What the page shows otherwise than it is printed; or what it should show and cannot. @param {string} why */
  function showBanner(why) {
    const keys = { night: "night", start: "start_ms", spot: "spot", exposure: "exposure_shift_ev" };
    const names = Object.keys(keys).filter((name) => keys[name] in asked);
    part("changed").hidden = names.length === 0;
    part("changed").classList.toggle("locked", why !== "");
    part("changed-what").textContent = why === "" ? `Not the printed ${names.join(" and ")}.` : lockText();
    part("changed-rest").textContent = why === "" ? UNDERLINED : `No plan for it: ${why}. Nothing can be ticked here.`;
  }

  function lockText() {
    const night = dayText(dayNumber(asked.night ?? printed.window.night));
    const where = asked.spot ? " from another spot" : "";
    const instead = same(face.plan.changes, {}) ? "the printed plan" : face.sheet.night;
    return `This ${is_of_take ? "take is for" : "page was turned to"} ${night}${where}; it shows ${instead}.`;
  }
}

function same(a, b) {
  return JSON.stringify(a) === JSON.stringify(b);
}

/** @param {string} name @returns {Changes} */
function kept(name) {
  try {
    return JSON.parse(sessionStorage.getItem(name) ?? "{}") ?? {};
  } catch {
    return {};
  }
}

/** Where the browser keeps nothing, a reload shows the printed plan. @param {string} name @param {Changes} changes */
function store(name, changes) {
  try {
    sessionStorage.setItem(name, JSON.stringify(changes));
  } catch {
    // the banner says what is shown
  }
}
