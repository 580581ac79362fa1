// Who reads the list: everybody, or one role of the shot's. Others' items stay, but step back.

import { make } from "../touch/dom.js";
import { recall, remember } from "../touch/recall.js";
import { isOther } from "./work.js";

const EVERYBODY = "";

/**
 * @param {import("./work.js").Part[]} parts @param {string} key what the tab remembers it by
 * @param {() => void} chosen another one reads now
 * @returns {{reader: () => string, place: HTMLElement | null}} place: null where nothing of the list is anybody's own
 */
export function makeRoles(parts, key, chosen) {
  const roles = [...new Set(parts.flatMap(({ items }) => items.map(({ role }) => role)))].filter((role) => role !== "");
  const known = recall("sessionStorage", key);
  let reader = roles.includes(known) ? known : EVERYBODY;
  if (roles.length === 0) return { reader: () => reader, place: null };

  const buttons = [EVERYBODY, ...roles].map((role) => {
    const button = make("button", { type: "button" }, role || "all");
    button.addEventListener("click", () => {
      reader = role;
      remember("sessionStorage", key, role);
      show();
      chosen();
    });
    return { role, button };
  });
  const place = make("div", { className: "roles" }, make("span", {}, "Reads:"), ...buttons.map(({ button }) => button));
  place.setAttribute("role", "group");
  place.setAttribute("aria-label", "Who reads");

  function show() {
    for (const { role, button } of buttons) button.setAttribute("aria-pressed", String(role === reader));
    for (const item of parts.flatMap(({ items }) => items)) item.line.classList.toggle("others", isOther(item, reader));
  }

  show();
  return { reader: () => reader, place };
}
