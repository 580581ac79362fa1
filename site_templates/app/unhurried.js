// What pages load when their first moments are over, or when it is asked for. One module, so that it comes in few files.

import { planning } from "./core/plan.js";
import { makeLater } from "./later.js";
import { showOpened } from "./phones/opened.js";

/** What works a plan out, in pieces. */
export const makePlan = planning;
/** The rest of a shot's page. */
export const makeRest = makeLater;
/** The page of a plan from elsewhere. */
export const showPlan = showOpened;
