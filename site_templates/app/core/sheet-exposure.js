// twin: fieldsheet/sheet/exposure.py
// The exposure in words: what is set at frame 1, the bands of clicks, trails.

import { say, word } from "./say.js";

/** {start, lines, bands}; null without an exposure. See the twin. @param {Plan} plan @param {ClockText} at */
export function exposureText(plan, at) {
  const { exposure } = plan;
  if (exposure === null) return null;
  return {
    start: settingText(exposure.bands[0].from),
    lines: linesOf(plan, at).map(([id, text]) => ({ name: word(`exposed.${id}`), text })),
    bands: exposure.bands.map((band) => bandText(band, exposure.turned_by === "automatic", at)),
  };
}

/** [id of its name, text] of each line above the bands. @param {Plan} plan @param {ClockText} at */
function linesOf(plan, at) {
  const { shift_ev: shift, steepest, bright, dark, ...exposure } = /** @type {Exposure} */ (plan.exposure);
  const light = {
    stops: exposure.stops,
    rate: Math.abs(steepest.ev_per_min),
    clock: at(steepest.time.utc_ms),
    frame: steepest.frame,
  };
  const bases = {
    bright: bright.ev,
    bright_at: at(bright.time.utc_ms),
    dark: dark.ev,
    dark_at: at(dark.time.utc_ms),
  };
  const longest = { open: exposure.longest_shutter_ms, given: plan.brief.longest_shutter_ms };
  return [
    ...(shift === 0 ? [] : [["shift", say("exposed.shifted", { shift }, [])]]),
    ["start", settingText(exposure.bands[0].from)],
    ["who", word(`turned.${exposure.turned_by}`)],
    ["light", say("exposed.changes", light, [])],
    ["bases", say("exposed.between", bases, [])],
    ["target", word("exposed.histogram")],
    ["longest", say("exposed.open", longest, [])],
    ...trailsText(exposure.trails),
    ...exposure.discs.map((disc) => [disc.body, say("exposed.disc", disc, [])]),
  ];
}

/** How far stars trail, and what the published rules say. @param {Exposure["trails"]} trails */
function trailsText(trails) {
  const where = word(trails.is_core ? "exposed.core" : "exposed.middle");
  const args = { ...trails, open: trails.open_ms, where };
  const has_pixels = trails.sensor_px !== null;
  const ids = [...(has_pixels ? ["sensor"] : []), "clip", ...(trails.clip_edge_px === null ? [] : ["edge"])];
  const parts = ids.map((id) => say(`exposed.${id}`, args, [])).join(", ");
  const rules = ["rule-500", ...(has_pixels ? ["rule-pixel"] : [])].map((id) => say(`exposed.${id}`, args, []));
  return [
    ["trails", say("exposed.trailing", { ...args, parts }, [])],
    ["rules", rules.join(" · ")],
  ];
}

/** @param {Band["from"]} setting */
const settingText = (setting) => say("exposed.setting", setting, []);

/**
 * A row of the table; for checking, only what the camera should read.
 * @param {Band} band @param {boolean} check @param {ClockText} at
 */
function bandText(band, check, at) {
  return {
    frames: say("exposed.frames", { first: band.first_frame, last: band.last_frame }, []),
    clock: at(band.time.utc_ms),
    does: doesText(band, check),
    reads: settingText(band.to),
    total: say("exposed.total", band, []),
    spare: say("exposed.spare", { slack: band.slack_ms / 1000 }, []),
  };
}

/** @param {Band} band @param {boolean} check */
function doesText(band, check) {
  const { control, every_frames: every } = band;
  const clicks = Math.abs(band.clicks);
  if (control === null) return word("exposed.stay");
  const key = control === "aperture" ? "f" : control;
  const way = `click.${control}-${band.clicks > 0 ? "more" : "less"}`;
  const args = { way, every, clicks, from: band.from[key], to: band.to[key] };
  const ends = say(`exposed.${control}-${clicks === 1 ? "to" : "from"}`, args, []);
  if (check) return ends;
  if (clicks === 1) return say("exposed.one", { ...args, ends }, []);
  return say(every === 1 ? "exposed.each" : "exposed.every", { ...args, ends }, []);
}
