// A take that was begun on another revision than these sheets are now: it goes on with its own plan, where this page
// can show that.

import { FORMAT, VERSION } from "../core/format.js";
import { whole } from "../core/pieces.js";
import { makeSheet } from "../core/sheet.js";
import { make } from "../touch/dom.js";
import { planOf } from "../takes/takefile.js";
import { refill } from "../touch/refill.js";

const PATIENCE_MS = 2000; // a store that does not answer must not keep the page from being read

/**
 * The plan that a page goes by: the printed one, or the one that its open take was begun on.
 * @param {Promise<import("../takes/log.js").Log>} log @param {*} printed
 * @param {() => Promise<import("../shown/nights.js").Reach>} load the sky, needed where the take was begun on a turned page
 * @returns {Promise<{plan: Plan, unread: string}>} unread: the revision of a take whose plan the page cannot show, or ""
 */
export async function planToGoBy(log, printed, load) {
  /** @type {Promise<undefined>} */
  const late = new Promise((resolve) => setTimeout(resolve, PATIENCE_MS));
  const begun = await Promise.race([log.then((opened) => openPlan(opened, printed.shot.id)), late]).catch(
    () => undefined,
  );
  if (!begun || isSame(begun.revision, printed.revision)) return { plan: printed, unread: "" };
  const plan = await shown(begun, printed, load);
  return plan ? { plan, unread: "" } : { plan: printed, unread: begun.revision };
}

/** @param {import("../takes/log.js").Log} log @param {string} shot */
async function openPlan(log, shot) {
  const open = (await log.takes(shot)).find(({ ended }) => !ended);
  return open && planOf(await log.events(open.take));
}

/** Takes of tests and of long ago name none. @param {string | undefined} begun @param {string} revision */
function isSame(begun, revision) {
  return begun === undefined || begun === revision;
}

/** Without its changes; null without a sky, or what computes. @param {Plan} begun @param {() => Promise<import("../shown/nights.js").Reach>} load */
async function asPrinted(begun, load) {
  const { sky, makePlan } = await load();
  return sky && makePlan && { ...whole(makePlan(begun.brief, sky, {})), revision: begun.revision };
}

/**
 * A take's plan as it was printed; null where this page has no places for it, or another phone sent what is none.
 * @param {Plan} begun @param {Plan} printed @param {() => Promise<import("../shown/nights.js").Reach>} load
 */
async function shown(begun, printed, load) {
  if (begun.format !== FORMAT || begun.version !== VERSION) return null;
  try {
    const plan = Object.keys(begun.changes).length > 0 ? await asPrinted(begun, load) : begun;
    return plan !== null && shape(plan) === shape(printed) ? plan : null;
  } catch {
    return null;
  }
}

/** What of a plan stands in the page's markup and not in its texts. @param {Plan} plan */
function shape(plan) {
  const { axes, program, set_order, rail, exposure, power, dew, rolling, needs } = makeSheet(plan);
  const lists = [power, dew, rolling, needs].map((lines) => lines.length > 0);
  return JSON.stringify([axes, program, set_order, rail === "", exposure === null, lists, plan.picture.views.length]);
}

/**
 * Says what the page goes by where that is not what is printed now.
 * @param {HTMLElement} place
 * @param {{now: string, by: string, unread: string}} revisions of these sheets, of what the page goes by, of what it cannot show
 * @param {() => void} lock nothing may be ticked any more
 * @returns {{locked: boolean, show: (events: import("../takes/added.js").LogEvent[]) => void}} locked: nothing may be ticked
 */
export function makeBegun(place, { now, by, unread }, lock) {
  const reload = make("button", { type: "button", onclick: () => location.reload() });
  const older = {
    locked: false,
    /** @param {import("../takes/added.js").LogEvent[]} events of the open take; none without one */
    show(events) {
      const begun = planOf(events)?.revision;
      const [words, button] = said(events.length > 0, begun);
      older.locked = events.length > 0 ? !isSame(begun, by) : now !== by;
      place.hidden = words === "";
      reload.textContent = button;
      refill(place, words, ...(button === "" ? [] : [" ", reload]));
      if (older.locked) lock();
    },
  };
  return older;

  /** @param {boolean} is_open @param {string | undefined} begun @returns {[string, string]} */
  function said(is_open, begun) {
    if (!is_open)
      return by === now ? ["", ""] : [`That take was of revision ${by}; these sheets are now ${now}.`, "Show them"];
    if (isSame(begun, by))
      return [
        by === now ? "" : `This take goes on with revision ${by}, as it was begun; these sheets are now ${now}.`,
        "",
      ];
    const other = `This take was begun on revision ${begun}; the page shows ${by}, and nothing can be ticked on it.`;
    if (begun !== unread) return [other, "Show the take's plan"];
    return [`${other} It has no places for that plan: end the take to begin anew.`, ""];
  }
}
