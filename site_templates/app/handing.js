// A take that goes to another phone, or comes from one, on the page of its shot.

import { commonOf } from "./common.js";
import { part } from "./dom.js";
import { makeHand } from "./hand.js";
import { pageAddress } from "./host.js";
import { makeJoining } from "./joining.js";
import { passing } from "./pass.js";

/**
 * @param {object} page
 * @param {ReturnType<typeof import("./shell.js").startShell>} page.shell
 * @param {*} page.printed the plan that the page goes by
 * @param {{plan: Plan, sheet: Sheet}} page.face
 * @param {ReturnType<typeof import("./taking.js").makeTaking>} page.taking
 * @param {ReturnType<typeof import("./export.js").makeExport>} page.exports
 * @param {(changes: object) => {plan: Plan, sheet: Sheet} | {why: string}} page.compute
 */
export function makeHanding({ shell, printed, face, taking, exports, compute }) {
  const { site, log } = shell;
  const { take } = taking;
  const common = commonOf(printed, site, taking.rows, compute);
  const hand = makeHand(/** @type {HTMLDetailsElement} */ (part("hand")), {
    ...{ face, take, log, common, key: `${site.prefix}phone` },
    give: () => exports.give(take.now.events, "json"),
    takeIn: (file) => joining.take(file),
    plan: passing(printed, () => new URL("../../open/#p=", pageAddress(printed.shot.id)).href),
  });
  const joining = makeJoining(part("changed"), {
    ...{ site, log, common, read: taking.read, now: () => take.now, hold: hand.hold, naming: hand.naming },
  });
  addEventListener("hashchange", joining.look); // a scan while the page is open only changes the address
  return { show: hand.show, tick: hand.tick, look: joining.look };
}
