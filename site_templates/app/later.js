// What of a shot's page may come a moment after its ticks and its clock: what turns the plan or tells more of it, its log,
// and what gives a take away.

import { makeDew } from "./shown/dew.js";
import { part } from "./touch/dom.js";
import { makeEvery } from "./shown/every.js";
import { makeExport } from "./takes/export.js";
import { makeExposure } from "./shown/exposure.js";
import { makeFrame } from "./shown/frame.js";
import { makeHanding } from "./phones/handing.js";
import { makeLogBox } from "./list/logbox.js";
import { makeOthers } from "./shown/others.js";
import { makePower } from "./shown/power.js";
import { makeSpot } from "./shown/spot.js";
import { changesBefore } from "./takes/stops.js";
import { makeWrong } from "./shown/wrong.js";
import { makeZero } from "./shown/zero.js";

/**
 * @param {object} page
 * @param {ReturnType<typeof import("./shell.js").startShell>} page.shell
 * @param {Plan} page.printed the plan that the page goes by
 * @param {ReturnType<typeof import("./shown/face.js").makeFace>} page.face
 * @param {ReturnType<typeof import("./shown/turning.js").makeTurning>} page.turning
 * @param {ReturnType<typeof import("./list/taking.js").makeTaking>} page.taking
 * @param {() => import("./takes/added.js").TakeState | null} page.stateNow the take, as far as it is of what is shown
 * @param {() => import("./shown/nights.js").Reach} page.reach
 * @param {(night: string) => void} page.turn
 * @param {(changes: import("./shown/turning.js").Changes, text?: string) => boolean} page.turnTo may be undone
 */
export function makeLater({ shell, printed, face, turning, taking, stateNow, reach, turn, turnTo }) {
  const { take } = taking;
  const shown = () => face;
  const exports = makeExport(shell.site, shell.log);
  const logbox = makeLogBox(section("log"), take, exports);
  const handing = makeHanding({ shell, printed, face, taking, exports, turning, stateNow });
  const others = makeOthers(section("others"), printed.window.night, {
    shown: () => ({ changes: face.kept.plan.changes, night: face.plan.window.night, reach: reach() }),
    compute: turning.planned,
    turn: (night) => {
      turn(night);
      scrollTo(0, 0); // what came of it stands at the top
    },
  });
  const exposure = part("exposure") && makeExposure(section("exposure"), shown, shiftExposure, taking.reads); // where it is planned
  const power = part("power") && makePower(section("power"), shown); // where the files say something of it
  const dew = part("dew") && makeDew(section("dew"), shown); // by day only where the file says something of it
  const every = part("frames") && makeEvery(section("frames"), () => face.plan); // a shot that stands still has none
  const zero = part("zero") && makeZero(section("zero"), () => ({ plan: face.plan, reach: reach() })); // a rig without pan has none
  const frame = makeFrame(section("frame"), face);
  const wrong = makeWrong(
    section("wrong"),
    printed,
    turning,
    () => ({
      plan: face.plan,
      reach: reach(),
      rolls: take.now.state.fired_ms !== null,
      acts: take.now.state.acts,
      before: changesBefore(take.now.events),
    }),
    turnTo,
  );
  const spot = makeSpot(section("spot"), printed.brief.place, (to) =>
    turnTo({ ...turning.asked, spot: to ?? undefined }, to ? "another spot" : "back to the place"),
  );

  /** @param {number} exposure_shift_ev */
  function shiftExposure(exposure_shift_ev) {
    return turnTo({ ...turning.asked, exposure_shift_ev }, "exposure shift");
  }

  return {
    /** The page shows another plan, or the same anew. */
    show() {
      exposure?.show();
      power?.show();
      dew?.show();
      every?.show();
      others.show();
      frame.show();
      wrong.show();
      zero?.show();
      spot.show(face.plan.changes.spot ?? null);
    },
    /** What the take holds has changed. */
    showTake() {
      handing.show();
      logbox.show();
    },
    tick: handing.tick,
    allow: logbox.allow,
    /** The sky is there, or is known not to be. */
    look() {
      const may = reach().bar === "";
      spot.allow(may);
      exposure?.allow(may);
      handing.look();
      wrong.look();
      others.show();
      zero?.show();
    },
  };
}

/** A section that is folded until it is asked for. @param {string} id */
function section(id) {
  return /** @type {HTMLDetailsElement} */ (part(id));
}
