// Why the phone does not keep files of the site, in words that a person can act on: a browser's own word for it is none.

export const FULL = "this phone's storage is full";
export const REFUSED = "this browser refused to store them";
const SO = "The sheets open only where there is signal";
const TILL_THEN = "fetch again. Until then leave this tab open, save the log as a file, and carry the card.";

/** What it means, and what to do. @type {Object<string, string>} */
export const ADVICE = {
  [FULL]: `${SO}. Make room on the phone, then ${TILL_THEN}`,
  [REFUSED]: `${SO}, and ticks may go with the tab. A private window keeps nothing: open them in an ordinary one or from the home screen, let this site store data, then ${TILL_THEN}`,
};

/** Short; what the site itself found, as it said it. @param {unknown} error */
export function faultWords(error) {
  if (!(error instanceof Error || error instanceof DOMException)) return String(error);
  if (error.name === "QuotaExceededError") return FULL;
  return error.name === "Error" ? error.message : REFUSED;
}
