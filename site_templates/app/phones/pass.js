// A plan for another phone: as a code on this screen, made when it is asked for, and as a file.

import { CodeError } from "../codes/digits.js";
import { WAIT, make, put } from "../touch/dom.js";
import { writePlan } from "../codes/planfile.js";
import { LARGEST, codeOf, digitsWithin } from "../codes/qr.js";
import { drawnCode } from "../codes/screencode.js";
import { giveFiles } from "../touch/share.js";

const SHOW = "Show the plan's code";
const HIDE = "Put the plan's code away";
const NOT_LOADED = "A part of this page did not load: load the page again for the plan's code.";
const NO_TIDES = "The place's table of tides is not here yet: try again in a moment.";
const HOLDS = "It holds the plan as printed, not what was changed on this phone; nor checklist, way in, crew or notes.";

/**
 * What a section holds to give a plan away.
 * @param {import("../codes/planfile.js").PlanRead} plan of which a tide table may still be on its way
 * @param {() => string} address of the page that opens plans, up to the code's digits
 * @returns {HTMLElement[]}
 */
export function passing(plan, address) {
  const show = make("button", { type: "button" }, SHOW);
  const code = make("div", { className: "code", hidden: true });
  const bright = make("button", { type: "button", className: "white", hidden: true }, "Not read? Full white");
  const said = make("p", {});
  const file = make("button", { type: "button" }, "Share or save the plan");
  said.setAttribute("role", "status");
  bright.addEventListener("click", () => code.classList.toggle("bright"));
  file.addEventListener("click", () => {
    if (isWhole(plan)) giveFiles([fileOf(plan)], plan.brief.shot.title);
    else put(said, NO_TIDES);
  });
  show.addEventListener("click", async () => {
    if (code.hidden) await open();
    else close();
  });

  async function open() {
    put(said, WAIT);
    const made = await codeFor(plan, address());
    put(said, made.said);
    if (made.code === null) return;
    code.replaceChildren(made.code);
    code.hidden = bright.hidden = false;
    put(show, HIDE);
    code.scrollIntoView({ block: "center" });
  }

  function close() {
    code.hidden = bright.hidden = true;
    put(show, SHOW);
    put(said, "");
  }

  return [show, code, bright, said, file];
}

/** A page of a shot has its place's table of tides in a file of its own. @param {import("../codes/planfile.js").PlanRead} plan */
function isWhole({ brief }) {
  return Array.isArray(brief.place.tides);
}

/** @param {import("../codes/planfile.js").PlanRead} plan */
function fileOf(plan) {
  const { shot, night } = plan.brief;
  return new File([writePlan(plan)], `${shot.id}-${night.date}-plan.json`, { type: "application/json" });
}

/**
 * The code, with what is to be said of it; without one, why.
 * @param {import("../codes/planfile.js").PlanRead} plan @param {string} address
 * @returns {Promise<{code: Element | null, said: string}>}
 */
async function codeFor(plan, address) {
  if (!isWhole(plan)) return { code: null, said: NO_TIDES };
  try {
    const { digitsOf } = await import("../codes/plancode.js").catch(() => {
      throw new CodeError(NOT_LOADED);
    });
    const digits = digitsOf({ ...plan.brief, revision: plan.revision });
    if (digits.length > digitsWithin(address, LARGEST))
      throw new CodeError("This plan is too long for a code on a screen.");
    const code = drawnCode(codeOf(address, digits), "Code of this plan, for the other phone's camera");
    return { code, said: `Open this with the other phone's camera. ${HOLDS}` };
  } catch (error) {
    if (!(error instanceof CodeError)) throw error;
    return { code: null, said: `${error.message} Share or save it as a file.` };
  }
}
