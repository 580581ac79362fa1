// A take's log as a table: CSV by RFC 4180, a line an event, in the order of the log.

import { stamp } from "../core/civil.js";
import { makeLines } from "./loglines.js";
import { frameThen, programmesOf } from "./programmes.js";

const COLUMNS = ["utc", "local", "kind", "frame", "text", "value", "phone"];
const LINE_END = "\r\n";

/**
 * utc and local are ISO 8601; frame is the one that the rig was likely at, "" where that is not known.
 * @param {import("./added.js").LogEvent[]} events in the order of the log @param {Plan} plan that they were begun on
 */
export function csvOf(events, plan) {
  const lines = makeLines(events, plan);
  const { spans } = plan.brief.place.zone;
  const rows = programmesOf(events, plan).flatMap((programme) =>
    programme.events.map((event) => {
      const { utc_ms, kind, device } = event;
      const { text, value } = lines.line(event);
      const frame = frameThen(programme, utc_ms) ?? "";
      return [
        new Date(utc_ms).toISOString(),
        stamp(spans, utc_ms).local,
        kind,
        frame,
        text,
        value,
        lines.phone(device),
      ];
    }),
  );
  return [COLUMNS, ...rows].map((row) => row.map((cell) => cellOf(String(cell))).join(",") + LINE_END).join("");
}

/** A text that a table would compute begins with a quote. @param {string} text */
function cellOf(text) {
  const safe = /^[=+\-@]/.test(text) ? `'${text}` : text;
  return /[",\r\n]/.test(safe) ? `"${safe.replaceAll('"', '""')}"` : safe;
}
