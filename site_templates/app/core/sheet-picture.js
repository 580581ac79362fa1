// twin: fieldsheet/sheet/picture.py
// What is in the frame, in words.

import { byCompass, lensOf } from "./aim.js";
import { LEVEL_ERROR_DEG } from "./onrail.js";
import { say, word } from "./say.js";

const FAR_M = 10;

/**
 * What is followed, what comes into the frame, how the horizon lies, what the rail does: {name, text}.
 * @param {Plan} plan @param {ClockText} at
 */
export function pictureLines(plan, at) {
  const { tracked, foreground, sag, own_rig } = plan.picture;
  return [
    ...tracked.map((row) => trackedLine(row, at)),
    ...insideLines(plan, at),
    ...leanLines(plan, at),
    ...foregroundLines(foreground),
    ...sagLines(sag),
    ...ownRigLines(own_rig, at),
    { name: word("picture.keep-out"), text: stayText(plan) },
    ...hourLines(plan, at),
  ];
}

/**
 * What stands over the drawing of each frame: a keyframe, or an end of what stands still.
 * @param {Plan} plan @param {{key: string, name: string, clock: string, frame: string}[]} keyframes
 * @param {ClockText} at
 */
export function captionsOf({ picture }, keyframes, at) {
  if (keyframes.length > 0) return keyframes.map((keyframe) => say("view.caption", keyframe, []));
  return ["start", "end"].map((end, index) => {
    const { frame, time } = /** @type {FrameTime} */ (picture.views[index]);
    return say(`view.still-${end}`, { clock: at(time.utc_ms), frame }, []);
  });
}

/** The sector that the lens sees over the shot, as short as it can be told. @param {Plan} plan */
export function keepOut({ brief, picture }) {
  return sectorText(brief.place, picture.keep_out);
}

/**
 * The sector of each hour, where it does not stay the same.
 * @param {Plan} plan @param {ClockText} at
 */
function hourLines({ brief, picture }, at) {
  const rows = picture.keep_out.by_hour;
  const sectors = rows.map((row) => sectorText(brief.place, row));
  if (sectors.every((sector) => sector === sectors[0])) return [];
  return rows.map(({ from, until }, index) => {
    const name = say("picture.hour", { from: at(from.utc_ms), until: at(until.utc_ms) }, []);
    return { name, text: sectors[index] };
  });
}

/** @param {Place} place @param {{from_deg: number | null, to_deg: number | null}} sector */
function sectorText(place, { from_deg, to_deg }) {
  if (from_deg === null || to_deg === null) return word("picture.round");
  return say("picture.sector", { from: byCompass(place, from_deg), to: byCompass(place, to_deg) }, []);
}

/** Where to be, and that lamps stay out until the last frame. @param {Plan} plan */
function stayText({ brief, picture }) {
  const { from_deg, to_deg } = picture.keep_out;
  if (from_deg === null || to_deg === null) return word("picture.nowhere");
  const [from, to] = [from_deg, to_deg].map((deg) => byCompass(brief.place, deg));
  return say("picture.stay", { from, to }, []);
}

/** @param {Followed} tracked @param {ClockText} at */
function trackedLine({ target, number, worst }, at) {
  const name = say("picture.kept", { body: target, number, next: number + 1 }, []);
  const told = { frame: worst.frame, clock: at(worst.time.utc_ms) };
  if (worst.share === null) return { name, text: say("picture.kept-lost", told, []) };
  const px = worst.px === null ? "" : say("picture.px", { px: worst.px }, []);
  const parts = { share: worst.share * 100, right: worst.right * 100, up: worst.up * 100, px };
  return { name, text: say("picture.kept-off", { ...told, ...parts }, []) };
}

/** @param {Plan} plan @param {ClockText} at */
function insideLines({ brief, picture }, at) {
  const behind = brief.place.horizon.length > 0 ? "ridge" : "horizon";
  const lines = picture.inside
    .filter(({ spans }) => spans.length > 0)
    .map(({ body, spans }) => ({
      name: say("picture.shown", { body }, []),
      text: spans.map((span) => spanText(span, behind, at)).join("; "),
    }));
  return lines.length > 0 ? lines : [{ name: word("picture.bodies"), text: word("picture.none") }];
}

/**
 * A stay in the frame: its frames, how it begins, what is touched, how it ends.
 * @param {Picture["inside"][number]["spans"][number]} span @param {string} behind @param {ClockText} at
 */
function spanText({ from, touches, until }, behind, at) {
  /** @param {string} id @param {FrameTime} at_frame @param {(frame: number) => number} whole */
  const said = (id, { frame, time }, whole) => say(id, { frame: whole(frame), clock: at(time.utc_ms) }, []);
  return [
    say("picture.frames", { first: Math.ceil(from.frame), last: Math.floor(until.frame) }, []),
    said(`picture.from-${from.by}`, from, Math.ceil),
    ...touches.map((row) => said(`picture.${row.way}-${behind}`, row, Math.ceil)),
    said(`picture.until-${until.by}`, until, Math.floor),
  ].join(", ");
}

/** @param {Plan} plan @param {ClockText} at */
function leanLines({ brief, picture }, at) {
  const { rolls, worst, swing_deg: swing } = picture.lean;
  const lens = lensOf(brief);
  const raised = ((Math.tan((LEVEL_ERROR_DEG * Math.PI) / 180) * lens.half_width) / lens.half_height) * 100;
  const id = swing < 0.05 ? "picture.level-off" : "picture.level-swings";
  const lines = [{ name: word("picture.level-name"), text: say(id, { raised, swing }, []) }];
  if (worst === null) return lines;
  const args = {
    clock: at(worst.time.utc_ms),
    frame: worst.frame,
    rolls: rolls.map((roll, index) => say("picture.roll", { number: index + 1, roll }, [])).join(", "),
    roll: worst.roll_deg,
  };
  return [{ name: word("picture.lean-name"), text: say("picture.lean", args, []) }, ...lines];
}

/** @param {Picture["foreground"]} near */
function foregroundLines(near) {
  if (near === null) return [];
  const args = { travel: near.travel_mm / 1000, shift: near.shift_deg, widths: near.widths };
  const id = near.metres <= FAR_M ? "picture.near" : "picture.far";
  return [{ name: say("picture.near-name", { metres: near.metres }, []), text: say(id, args, []) }];
}

/** @param {Picture["sag"]} sag */
function sagLines(sag) {
  if (sag === null) return [];
  const px = sag.px === null ? "" : say("picture.px", { px: sag.px }, []);
  return [{ name: word("picture.sag-name"), text: say("picture.sag", { share: sag.share * 100, px }, []) }];
}

/**
 * What of the rig was looked for, and the first frame that shows it.
 * @param {Picture["own_rig"]} own @param {ClockText} at
 */
function ownRigLines(own, at) {
  return own.looked_for.map((part) => {
    const name = word(`picture.own-${part}`);
    const first = own[/** @type {"ends" | "legs" | "shadow"} */ (part)];
    if (first === null) return { name, text: word("picture.own-out") };
    const end = "end" in first ? `rail-end.${first.end}` : "";
    const args = { ...first, end, clock: at(first.time.utc_ms) };
    return { name, text: say(`picture.${part}-in`, args, []) };
  });
}
