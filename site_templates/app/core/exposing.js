// twin: fieldsheet/plan/exposing.py
// What the exposure cannot do as it is meant, as message ids with arguments.

import { caution } from "./planned.js";
import { msOf } from "./timing.js";

const FACTORS = [0.5, 1.5];
const LEAST_LIGHT_STOPS = 1;
const MOST_LAG_EV = 0.5;
const HAND_MS = 3000;

/** [frame that it comes before, place on the ladder before, after] of every click of an exposure. */
export function rungClicks({ bands, first_rung }) {
  return bands.flatMap(({ first_frame, every_frames, clicks, total }) => {
    const before = first_rung + total - clicks;
    const way = clicks > 0 ? 1 : -1;
    return Array.from({ length: Math.abs(clicks) }, (_, number) => [
      first_frame + every_frames * number,
      before + way * number,
      before + way * (number + 1),
    ]);
  });
}

/** Two bases that the light between their moments does not account for. */
function basesApart({ exposure }) {
  const { factor, bases_stops: bases, light_stops: light } = exposure.stretch;
  const fits = light >= LEAST_LIGHT_STOPS && FACTORS[0] <= factor && factor <= FACTORS[1];
  return fits ? [] : [caution("mind", "bases-apart", { bases, light })];
}

/** Too bright for the shortest shutter, too dark for the last ISO. */
function beyond({ brief, exposure, timing }) {
  const { ladder } = brief.exposure;
  return [["bright", ladder[0]], ["dark", ladder[ladder.length - 1]]].flatMap(([end, [f, shutter, iso]]) => {
    const found = exposure.beyond[end];
    if (found === null) return [];
    const args = { stops: found.ev, frame: found.frame, clock: msOf(timing, found.frame), f, shutter, iso };
    return [caution("mind", `too-${end}`, args)];
  });
}

function lags({ exposure, timing }) {
  if (exposure.lag_ev <= MOST_LAG_EV) return [];
  return [caution("mind", "exposure-lags", { lag: exposure.lag_ev, interval: timing.interval_ms, ...exposure.steepest })];
}

/** The shutter of the night no longer fits into the interval: from which frame, and what would keep it. */
function outgrows({ brief, exposure, budget, timing }) {
  if (budget.shortest_interval_ms === null) return [];
  const { ladder } = brief.exposure;
  const fits_ms = budget.longest_shutter_ms;
  const clicks = [[1, 0, exposure.first_rung], ...rungClicks(exposure)];
  const broken = clicks.find(([, , rung]) => ladder[rung][3] > fits_ms);
  const shutters = ofEach(ladder, 1);
  const kept = shutters.filter((rung) => rung[3] <= fits_ms);
  if (broken === undefined || kept.length === 0) return [];
  const [frame, , rung] = broken;
  const args = {
    frame,
    clock: msOf(timing, frame),
    shutter: ladder[rung][1],
    interval: timing.interval_ms,
    works: budget.shortest_interval_ms,
    keeps: kept[kept.length - 1][1],
  };
  // What the shutter gives up, click by click, the ISO makes up for at the deepest point of the ramp.
  const deepest = clicks.reduce((deep, [, , after]) => Math.max(deep, after), 0);
  const isos = ofEach(ladder, 2).map((each) => each[2]);
  const lost = shutters.filter((each) => fits_ms < each[3] && each[3] <= ladder[deepest][3]).length;
  const iso = isos[isos.indexOf(ladder[deepest][2]) + lost];
  if (iso === undefined) return [caution("no-go", "exposure-outgrows-all", args)];
  return [caution("no-go", "exposure-outgrows", { ...args, iso })];
}

/** The first rung of every mark of a control, in the order of the ladder. */
function ofEach(ladder, place) {
  return [...new Set(ladder.map((rung) => rung[place]))].map((mark) => ladder.find((rung) => rung[place] === mark));
}

/** Who turns by hand does it between a closed shutter and the next frame. */
function handSlack({ brief, exposure, timing }) {
  if (exposure.turned_by !== "hand") return [];
  const slackOf = ([, before]) =>
    timing.interval_ms - brief.camera.release_lag_ms - brief.exposure.ladder[before][3];
  const tight = rungClicks(exposure).find((click) => click[0] > 1 && slackOf(click) < HAND_MS);
  if (tight === undefined) return [];
  const frame = tight[0] - 1;
  const args = { frame, clock: msOf(timing, frame), slack: Math.max(slackOf(tight), 0) };
  return [caution("mind", "hand-slack", { ...args, shutter: brief.exposure.ladder[tight[1]][1], least: HAND_MS })];
}

/** Only where the person said how long a trail may be. */
function trailsLong({ brief, exposure }) {
  const most = brief.exposure.trail_max_px;
  const { clip_px: px, open_ms: open } = exposure.trails;
  if (most === null || px <= most) return [];
  return [caution("mind", "trails-long", { px, most, open, works_s: ((open / 1000) * most) / px })];
}

/** A moon in the frame that nobody aimed at: the model follows her light, not her disc. */
function moonDisc({ brief, exposure, timing }) {
  if (brief.keyframes.some(({ aim }) => aim?.target === "moon")) return [];
  return exposure.discs
    .filter(({ body }) => body === "moon")
    .map(({ first_frame: frame }) => caution("mind", "moon-disc", { frame, clock: msOf(timing, frame) }));
}

const OF_EXPOSURE = [basesApart, beyond, lags, outgrows, handSlack, trailsLong, moonDisc];
export const CHECKS = OF_EXPOSURE.map((check) => (planned) => (planned.exposure === null ? [] : check(planned)));
