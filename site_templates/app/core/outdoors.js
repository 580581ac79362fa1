// twin: fieldsheet/plan/outdoors.py
// What sky, sea and place hold against a shot: message ids with arguments.

import { placeAnchors } from "./acts.js";
import { dewOf } from "./dew.js";
import { moonLight } from "./moon.js";
import { coreMarginDeg } from "./nightsky.js";
import { frameAt, msOf } from "./pace.js";
import { caution } from "./planned.js";
import { deadlines } from "./schedule.js";
import { overDeg, seenDeg, starsOut } from "./seen.js";
import { DECLINATION_M } from "./spot.js";

const CORE_EDGE_DEG = 0.05;
const BRIGHT_MOON = 0.25;
const TIDE_MS = 13 * 3600000;
/** @type {Record<string, string>} */
const OTHER_EDGE = {
  sunset: "sunrise",
  "civil dusk": "civil dawn",
  "nautical dusk": "nautical dawn",
  "astronomical dusk": "astronomical dawn",
  moonset: "moonrise",
};

/** The way out closes, or the water reaches the rig, before everybody is away. @param {Restricted} planned */
function wayOut({ brief, night, timing }) {
  const on_site_ms = Object.fromEntries(deadlines(brief, timing.prepared_ms))["on-site"];
  const away_ms = timing.end_ms + (brief.place.approach_ms ?? 0);
  const kinds = [
    { kind: "exit closes", id: "exit-closes", until_ms: away_ms },
    { kind: "wet line", id: "wet-line", until_ms: timing.end_ms },
  ];
  return kinds.flatMap(({ kind, id, until_ms }) =>
    night.tides
      .filter(([at_s, what]) => what === kind && on_site_ms <= at_s * 1000 && at_s * 1000 < until_ms)
      .slice(0, 1)
      .map(([at_s]) => caution("no-go", id, { clock: at_s * 1000, end: timing.end_ms, away: away_ms })),
  );
}

/** Turning back, or the gate's closing, comes before the last frame is in. @param {Restricted} planned */
function limitPassed({ timing, limited }) {
  return limited
    .filter(({ id, time }) => id !== "check-in" && time.utc_ms < timing.end_ms)
    .map(({ id, time }) => caution("no-go", `${id}-passed`, { clock: time.utc_ms, end: timing.end_ms }));
}

/** A time that the place sets hangs on an event that does not come. @param {Planned} planned */
function limitUnknown({ brief, limited }) {
  return placeAnchors(brief)
    .filter(([id]) => !limited.some((row) => row.id === id))
    .map(([id]) => caution("no-go", "limit-unknown", { id: `moment.${id}` }));
}

/** A place with a tide table that says nothing of this night. @param {Planned} planned */
function tideUnknown({ night, timing }) {
  const from_ms = timing.start_ms - TIDE_MS;
  const until_ms = timing.end_ms + TIDE_MS;
  const known = night.tides.some(([at_s]) => from_ms <= at_s * 1000 && at_s * 1000 <= until_ms);
  return night.tides.length === 0 || known ? [] : [caution("mind", "tide-unknown", { night: timing.start_ms })];
}

/** A bright moon comes up in the dark, during a shot that is not made of it. @param {Planned} planned */
function moonRises({ brief, night, timing, found }) {
  if (brief.keyframes.some(({ aim }) => aim?.target === "moon")) return [];
  return found.flatMap(([ms, name]) => {
    if (name !== "moonrise" || ms < timing.start_ms || ms >= timing.end_ms) return [];
    if (!starsOut(night, ms / 1000)) return [];
    const [lit] = moonLight(night.sky, ms / 1000);
    if (lit < BRIGHT_MOON) return [];
    return [caution("mind", "moon-rises", { clock: ms, frame: frameAt(timing, ms), lit: lit * 100 })];
  });
}

/** Sun or moon turns so near to an altitude that the air decides whether it is crossed. @param {Planned} planned */
function graze({ grazes }) {
  return grazes.map(({ event, time }) =>
    caution("mind", "graze", { event, other: OTHER_EDGE[event], clock: time.utc_ms }),
  );
}

/**
 * A keyframe aimed at the core, in sight, at a moment at which haze, dusk or moon hides it.
 * @param {Planned} planned
 */
function coreUnusable({ brief, night, timing, settings }) {
  return settings.flatMap((setting, index) => {
    if (brief.keyframes[index].aim?.target !== "galactic core") return [];
    const at_s = msOf(timing, setting.frame) / 1000;
    const [sun, moon] = ["sun", "moon"].map((body) => seenDeg(night, body, at_s)[1]);
    const [azimuth, core] = seenDeg(night, "galactic core", at_s);
    if (coreMarginDeg(night, at_s) >= -CORE_EDGE_DEG || overDeg(night.site, azimuth, core) <= 0) return [];
    return [caution("mind", "core-unusable", { number: index + 1, sun, core, moon })];
  });
}

/** Planned for another spot than the place: how far off, and what does not hold there. @param {Planned} planned */
function spot({ brief }) {
  const away = brief.place.spot_m ?? null;
  return away === null ? [] : [caution("mind", away > DECLINATION_M ? "spot-far" : "spot", { away })];
}

/** No magnetic bearings, and why; or a compass that is hardly to be trusted. @param {Planned} planned */
function compass({ brief: { place } }) {
  if (place.no_declination) return [caution("mind", `compass-${place.no_declination}`, {})];
  return place.declination?.weak ? [caution("mind", "compass-weak", {})] : [];
}

/** What makes a night good for this shot is not all there. @param {Planned} planned */
function needUnmet({ needs }) {
  const unmet = needs.filter(({ met }) => met === false).length;
  return unmet > 0 ? [caution("mind", "need-unmet", { unmet, all: needs.length })] : [];
}

/** Whether it is all there hangs on what nobody typed in or measured. @param {Planned} planned */
function needUnknown({ needs }) {
  const unknown = needs.filter(({ met }) => met === null).length;
  return unknown > 0 ? [caution("mind", "need-unknown", { unknown, all: needs.length })] : [];
}

/** Glass will be wet, and nothing warms it. @param {Planned} planned */
function dew({ brief, timing }) {
  const found = dewOf(brief.dew);
  if (found === null || !found.likely || brief.heater !== null) return [];
  return [caution("mind", "dew", { ...found, clock: timing.start_ms })];
}

/** So cold that cables, grease and phone work otherwise. @param {Planned} planned */
function deepCold({ brief }) {
  if (!brief.deep_cold) return [];
  const id = brief.rig.motion === "shoot-move-shoot" ? "deep-cold" : "deep-cold-still";
  return [caution("mind", id, { degrees: brief.temperature_c, settle: brief.rig.settle_ms })];
}

export const OF_THE_PLACE = [wayOut, limitPassed];
export const CHECKS = [
  ...OF_THE_PLACE,
  limitUnknown,
  tideUnknown,
  moonRises,
  graze,
  coreUnusable,
  needUnmet,
  needUnknown,
  spot,
  compass,
  dew,
  deepCold,
];
