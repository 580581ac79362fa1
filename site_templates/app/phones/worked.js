// A plan from elsewhere, worked out by the phone's own core: the plan and its texts, or why there is none.

import { dayNumber } from "../core/civil.js";
import { plan as makePlan } from "../core/plan.js";
import { PlanProblem } from "../core/problem.js";
import { dayText, say } from "../core/say.js";
import { makeSheet } from "../core/sheet.js";
import { MOST_NUMBER, PlanFileError } from "../codes/planfile.js";

const DAMAGED = "This plan is damaged: it cannot be worked out.";
/** What a number that is none leaves in texts, also with its point set. */
const NONSENSE = /Na\.?N|Infin\.?ity|undefined|\[object /;

/**
 * Throws PlanFileError where it gives no plan, or one with a number beyond all measure.
 * @param {import("../codes/planfile.js").PlanRead} came @param {import("../core/sky.js").Sky | null} sky
 */
export function workedOut({ brief, revision }, sky) {
  try {
    const plan = { ...makePlan(brief, /** @type {Sky} */ (sky), {}), revision };
    const sheet = makeSheet(plan);
    if (isMeasured([plan, sheet]) && (!isNonsense(sheet) || isNonsense(brief))) return { plan, sheet };
  } catch (error) {
    throw new PlanFileError(error instanceof PlanProblem ? whyNone(error, brief) : DAMAGED);
  }
  throw new PlanFileError(DAMAGED);
}

/** Why this night gives no plan. @param {PlanProblem} problem @param {Brief} brief */
function whyNone({ id, args }, brief) {
  if (id === "problem.no-sky") {
    const [asked, first, last] = ["date", "first", "last"].map((key) => dayText(dayNumber(String(args[key]))));
    return `This plan is for ${asked}; the sky that is stored here runs from ${first} to ${last}.`;
  }
  try {
    const why = say(`${id}.found`, args, brief.place.zone.spans);
    return isNonsense(why) ? DAMAGED : `This plan cannot be worked out: ${why}.`;
  } catch {
    return DAMAGED; // it cannot even be said, such as a moment beyond all calendars
  }
}

/** Whether every number in it is one that a file may hold. @param {*} value @returns {boolean} */
function isMeasured(value) {
  if (typeof value === "number") return Math.abs(value) <= MOST_NUMBER; // no less and no more: NaN
  return typeof value !== "object" || value === null || Object.values(value).every(isMeasured);
}

/** @param {object | string} texts */
function isNonsense(texts) {
  return NONSENSE.test(JSON.stringify(texts));
}
