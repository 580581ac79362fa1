// What a page remembers beside the log: choices, which nothing rests on. A browser may forbid it; then they hold for
// this page alone.

/** @param {"localStorage" | "sessionStorage"} area @param {string} name @returns {string} "" where nothing is kept */
export function recall(area, name) {
  try {
    return globalThis[area].getItem(name) ?? "";
  } catch {
    return "";
  }
}

/** @param {"localStorage" | "sessionStorage"} area @param {string} name @param {string} text */
export function remember(area, name, text) {
  try {
    globalThis[area].setItem(name, text);
  } catch {
    // not remembered
  }
}
