// twin: fieldsheet/sheet/dew.py
// The air and its dew in words.

import { SPREAD_C, dewOf } from "./dew.js";
import { say, word } from "./say.js";

/**
 * The expected air, and whether glass stays dry in it: {name, text}; none where nobody says.
 * @param {Plan} plan @param {ClockText} at
 */
export function dewLines({ brief, window: window_ }, at) {
  const dew = dewOf(brief.dew);
  if (dew === null) return [];
  const fate = dew.likely
    ? say("dew.likely", { clock: at(window_.start.utc_ms) }, [])
    : say("dew.unlikely", { from_c: dew.settles_c + SPREAD_C }, []);
  return [
    { name: word("dew.air"), text: say("dew.measured", dew, []) },
    { name: word("dew.dew"), text: fate },
  ];
}
