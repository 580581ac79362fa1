// A take that goes to another phone, or comes from one, on the page of its shot.

import { commonOf } from "./common.js";
import { part } from "../touch/dom.js";
import { makeHand } from "./hand.js";
import { pageAddress } from "../keep/host.js";
import { makeJoining } from "./joining.js";
import { passing } from "./pass.js";

/**
 * @param {object} page
 * @param {ReturnType<typeof import("../shell.js").startShell>} page.shell
 * @param {*} page.printed the plan that the page goes by
 * @param {{plan: Plan, sheet: Sheet}} page.face
 * @param {ReturnType<typeof import("../list/taking.js").makeTaking>} page.taking
 * @param {ReturnType<typeof import("../takes/export.js").makeExport>} page.exports
 * @param {{compute: (changes: object) => {plan: Plan, sheet: Sheet} | {why: string},
 *   cannot: (brief: Brief, changes: object) => string}} page.turning
 * @param {() => TakeState | null} page.stateNow of the programme that the page shows; null where it shows another than the take's
 */
export function makeHanding({ shell, printed, face, taking, exports, turning, stateNow }) {
  const { site, log } = shell;
  const { take } = taking;
  const common = commonOf(printed, site, taking.rows, turning.compute);
  const hand = makeHand(/** @type {HTMLDetailsElement} */ (part("hand")), {
    ...{ face, take, stateNow, log, common, key: `${site.prefix}phone` },
    give: () => exports.give(take.now.events, "json"),
    takeIn: (file) => joining.take(file),
    plan: passing(printed, () => new URL("../../open/#p=", pageAddress(printed.shot.id)).href),
  });
  /** Its own brief, but where that is this page's, which knows the tides of other nights too. @param {Plan} begun @param {object} changes */
  const cannot = (begun, changes) =>
    turning.cannot(begun.revision === printed.revision ? printed.brief : begun.brief, changes);
  const joining = makeJoining(part("changed"), {
    ...{ site, log, common, cannot, read: taking.read, now: () => take.now, hold: hand.hold, naming: hand.naming },
  });
  addEventListener("hashchange", joining.look); // a scan while the page is open only changes the address
  return { show: hand.show, tick: hand.tick, look: joining.look };
}
